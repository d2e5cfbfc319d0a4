package org.borewarden.agent.faults;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalView;

/** Reads whole journals. */
final class Journals {
  private static final int PAGE = 5_000;

  private Journals() {}

  static List<Entry> all(JournalView view) throws JournalException {
    List<Entry> entries = new ArrayList<>();
    List<Entry> page = view.read(1, PAGE);
    while (!page.isEmpty()) {
      entries.addAll(page);
      page = view.read(page.get(page.size() - 1).seq() + 1, PAGE);
    }
    return entries;
  }

  static List<Entry> all(Path data) throws JournalException {
    try (JournalReader reader = JournalReader.open(data)) {
      return all(reader);
    }
  }

  /** Why each record lies aside, by its seq. */
  static Map<Long, String> aside(Path data) throws SQLException {
    Map<Long, String> why = new TreeMap<>();
    String file = data.resolve("journal/journal.db").toString();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement();
        ResultSet rows = statement.executeQuery("SELECT seq, why FROM aside")) {
      while (rows.next()) {
        why.put(rows.getLong(1), rows.getString(2));
      }
    }
    return why;
  }

  static int count(List<Entry> entries, String kind) {
    return (int) entries.stream().filter(entry -> entry.kind().equals(kind)).count();
  }
}
