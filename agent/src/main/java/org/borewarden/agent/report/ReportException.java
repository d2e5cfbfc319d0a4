package org.borewarden.agent.report;

/** There is nothing to report, or too much. */
public final class ReportException extends Exception {
  private static final long serialVersionUID = 1L;

  /**
   * With words for a person.
   *
   * @param message where, expected, found
   */
  public ReportException(String message) {
    super(message);
  }
}
