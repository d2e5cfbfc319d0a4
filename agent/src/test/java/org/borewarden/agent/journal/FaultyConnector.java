package org.borewarden.agent.journal;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Proxy;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.ArrayDeque;
import java.util.Queue;
import java.util.concurrent.atomic.AtomicInteger;

/** A connector to a real file whose commits can be made to fail, before or after the deed. */
final class FaultyConnector implements Connector {
  enum Fault {
    NONE,
    /** The transaction is not stored. */
    BEFORE_COMMIT,
    /** The transaction is stored, yet the caller is told that it failed. */
    AFTER_COMMIT,
    /** The file cannot be opened. */
    OPEN
  }

  private final Connector real;
  private final Queue<Fault> coming = new ArrayDeque<>();
  private final AtomicInteger struck = new AtomicInteger();

  FaultyConnector(Connector real) {
    this.real = real;
  }

  /** The next commits or openings of the writer meet these, one each. */
  synchronized void next(Fault... faults) {
    coming.addAll(java.util.List.of(faults));
  }

  int struck() {
    return struck.get();
  }

  @Override
  public Connection writer() throws SQLException {
    if (take(Fault.OPEN)) {
      throw diskError();
    }
    Connection connection = real.writer();
    return (Connection)
        Proxy.newProxyInstance(
            Connection.class.getClassLoader(),
            new Class<?>[] {Connection.class},
            (proxy, method, arguments) -> {
              boolean commit = method.getName().equals("commit") && changed(connection);
              if (commit && take(Fault.BEFORE_COMMIT)) {
                throw diskError();
              }
              Object result = invoke(method, connection, arguments);
              if (commit && take(Fault.AFTER_COMMIT)) {
                throw diskError();
              }
              return result;
            });
  }

  @Override
  public Connection reader() throws SQLException {
    return real.reader();
  }

  private synchronized boolean take(Fault fault) {
    if (coming.peek() != fault) {
      return false;
    }
    coming.remove();
    struck.incrementAndGet();
    return true;
  }

  /** Only commits of a journal's entries count; SQLite tells by its count of changed rows. */
  private static boolean changed(Connection connection) throws SQLException {
    try (var statement = connection.createStatement();
        var row = statement.executeQuery("SELECT total_changes()")) {
      return row.next() && row.getLong(1) > 0;
    }
  }

  private static Object invoke(
      java.lang.reflect.Method method, Connection connection, Object[] arguments) throws Throwable {
    try {
      return method.invoke(connection, arguments);
    } catch (InvocationTargetException e) {
      throw e.getCause();
    }
  }

  private static SQLException diskError() {
    return new SQLException("disk I/O error (injected)", null, 10);
  }
}
