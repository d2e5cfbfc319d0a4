package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.SQLException;

/** Closes a connection that has failed, without hiding the first failure. */
final class Closing {
  private Closing() {}

  static void after(Exception first, Connection connection) {
    try {
      connection.close();
    } catch (SQLException e) {
      first.addSuppressed(e);
    }
  }
}
