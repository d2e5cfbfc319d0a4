package org.borewarden.agent.board;

import java.util.ArrayDeque;

/**
 * The last bores of one feature, and what happened between them, as JSON. Bounded; the oldest go.
 */
final class Run {
  /** The bores that are kept of a feature. */
  static final int MOST_BORES = 200;

  /** The marks that are kept of a feature. */
  static final int MOST_MARKS = 60;

  private final ArrayDeque<Row> bores = new ArrayDeque<>();
  private final ArrayDeque<Row> marks = new ArrayDeque<>();

  /**
   * A line of it.
   *
   * @param seq its entry
   * @param changed the entry that last changed it
   * @param json an object
   */
  private record Row(long seq, long changed, String json) {}

  void bore(long seq, String json) {
    add(bores, MOST_BORES, new Row(seq, seq, json));
  }

  void mark(long seq, String json) {
    add(marks, MOST_MARKS, new Row(seq, seq, json));
  }

  private static void add(ArrayDeque<Row> rows, int most, Row row) {
    rows.add(row);
    if (rows.size() > most) {
      rows.remove();
    }
  }

  /** A bore was taken back: it stays, and says so. */
  void takenBack(long seq, long by) {
    ArrayDeque<Row> others = new ArrayDeque<>(bores.size());
    for (Row row : bores) {
      others.add(
          row.seq() == seq
              ? new Row(
                  seq, by, row.json().substring(0, row.json().length() - 1) + ",\"gone\":true}")
              : row);
    }
    bores.clear();
    bores.addAll(others);
  }

  /** What changed behind an entry, as the members of an object; empty where nothing did. */
  String since(long seq) {
    String newBores = list(bores, seq);
    String newMarks = list(marks, seq);
    return newBores.isEmpty() && newMarks.isEmpty()
        ? ""
        : "{\"bores\":[" + newBores + "],\"marks\":[" + newMarks + "]}";
  }

  private static String list(ArrayDeque<Row> rows, long seq) {
    StringBuilder json = new StringBuilder();
    for (Row row : rows) {
      if (row.changed() > seq) {
        json.append(json.isEmpty() ? "" : ",").append(row.json());
      }
    }
    return json.toString();
  }
}
