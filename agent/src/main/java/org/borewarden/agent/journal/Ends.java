package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.borewarden.agent.journal.Tables.Query;

/**
 * Where the tables of a damaged journal say that it ends. A flipped bit can make one of them name
 * an entry that never was: so it is told which do.
 */
final class Ends {
  private final Map<String, Long> told;
  private final long last;

  private Ends(Map<String, Long> told, long last) {
    this.told = told;
    this.last = last;
  }

  /** Asks every table that can be read. */
  static Ends of(Connection from) throws SQLException {
    Map<String, Long> told = new LinkedHashMap<>();
    ask(told, "journal", () -> Tables.number(from, "SELECT max(seq) FROM journal"));
    ask(told, "topic", () -> Tables.number(from, "SELECT max(last) FROM topic"));
    ask(told, "outbox", () -> Tables.number(from, "SELECT max(seq) FROM outbox"));
    ask(told, "snapshot", () -> Tables.number(from, "SELECT max(seq) FROM snapshot"));
    ask(told, "clean stop", () -> stopped(from));
    long last = told.values().stream().mapToLong(seq -> seq).max().orElse(0);
    if (last <= 0) {
      throw new SQLException("no entry can be read");
    }
    return new Ends(told, last);
  }

  /** The highest seq that is told. */
  long last() {
    return last;
  }

  /** The tables that tell it. */
  List<String> names() {
    List<String> names = new ArrayList<>();
    told.forEach(
        (name, seq) -> {
          if (seq == last) {
            names.add(name);
          }
        });
    return names;
  }

  /** The next seq after an empty range at which to go on; past the end where there is none. */
  long nextThere(Connection from, long after) {
    long otherwise = after < lastButOne() ? after + 1 : last + 1;
    return Tables.tolerant(
            () -> Tables.number(from, "SELECT min(seq) FROM journal WHERE seq>" + after))
        .map(seq -> seq > after ? seq : last + 1)
        .orElse(otherwise);
  }

  /** What one table alone tells is not believed so far that every seq up to there is looked for. */
  private long lastButOne() {
    return told.values().stream()
        .sorted()
        .skip(Math.max(0, told.size() - 2))
        .findFirst()
        .orElse(0L);
  }

  private static void ask(Map<String, Long> told, String name, Query<Long> query) {
    Tables.tolerant(query).ifPresent(seq -> told.put(name, seq));
  }

  private static long stopped(Connection from) throws SQLException {
    String seq = Tables.meta(from, Tables.CLEAN_STOP).orElse("0");
    return seq.matches("[0-9]{1,18}") ? Long.parseLong(seq) : 0;
  }
}
