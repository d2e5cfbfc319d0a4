package org.borewarden.agent.journal;

/**
 * The journal could not be opened, read or written. The message says what was being done to what.
 */
public final class JournalException extends Exception {
  private static final long serialVersionUID = 1L;

  /**
   * Says what is wrong where no other exception is behind it.
   *
   * @param message what was being done to what
   */
  public JournalException(String message) {
    super(message);
  }

  /**
   * Says what failed.
   *
   * @param message what was being done to what
   * @param cause why it failed
   */
  public JournalException(String message, Throwable cause) {
    super(message, cause);
  }
}
