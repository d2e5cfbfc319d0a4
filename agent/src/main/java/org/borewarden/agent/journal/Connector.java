package org.borewarden.agent.journal;

import java.sql.Connection;
import java.sql.SQLException;

/** Opens connections to one journal file. */
interface Connector {
  /** The writer's connection; the caller owns and closes it. */
  Connection writer() throws SQLException;

  /** A connection that cannot write; the caller owns and closes it. */
  Connection reader() throws SQLException;
}
