package org.borewarden.agent.journal;

/** Says that the file holds something else than what was written; it must not be written again. */
final class ForkedException extends Exception {
  private static final long serialVersionUID = 1L;

  ForkedException(String message) {
    super("journal forked: " + message);
  }
}
