package org.borewarden.agent.acceptance;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;

/** The journal, read as any SQLite tool reads it, beside the agent that writes it. */
final class Journal {
  private final String url;

  Journal(Path data) {
    this.url = "jdbc:sqlite:file:" + data.resolve("journal/journal.db") + "?mode=ro";
  }

  /** The bodies of one kind, in order. */
  List<String> bodies(String kind) throws SQLException {
    try (Connection connection = DriverManager.getConnection(url);
        Statement statement = connection.createStatement();
        ResultSet rows =
            statement.executeQuery(
                "SELECT body FROM journal JOIN word ON word.id = kind WHERE text = '"
                    + kind
                    + "' ORDER BY seq")) {
      List<String> bodies = new ArrayList<>();
      while (rows.next()) {
        bodies.add(rows.getString(1));
      }
      return bodies;
    }
  }
}
