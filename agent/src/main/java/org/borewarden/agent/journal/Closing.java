package org.borewarden.agent.journal;

/** Closes what has failed, such as a connection, without hiding the first failure. */
final class Closing {
  private Closing() {}

  static void after(Exception first, AutoCloseable failed) {
    try {
      failed.close();
    } catch (Exception e) {
      first.addSuppressed(e);
    }
  }
}
