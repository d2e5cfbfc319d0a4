package org.borewarden.agent.source;

/** A link could not be opened. The message is shown to people as it stands. */
public final class LinkException extends Exception {
  /** Input came faster than it was taken, and was lost. */
  public static final String OVERRUN = "overrun";

  private static final long serialVersionUID = 1L;

  private final String key;
  private final String detail;

  /**
   * A failed attempt.
   *
   * @param key the reason, the same for attempts that fail alike, such as {@code busy}
   * @param message what was tried, on what, and what came of it
   */
  public LinkException(String key, String message) {
    super(message);
    this.key = key;
    this.detail = message;
  }

  /**
   * The reason, for telling a new failure from a repeated one.
   *
   * @return for example {@code busy}
   */
  public String key() {
    return key;
  }

  /**
   * The message.
   *
   * @return in words
   */
  public String detail() {
    return detail;
  }
}
