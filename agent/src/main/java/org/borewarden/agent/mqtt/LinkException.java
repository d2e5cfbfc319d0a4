package org.borewarden.agent.mqtt;

import org.jspecify.annotations.Nullable;

/** A link could not be made or used. The message says in words what was expected and what came. */
public final class LinkException extends Exception {
  private static final long serialVersionUID = 1L;

  /**
   * Says what failed.
   *
   * @param message in words
   * @param cause why, where there is more to know
   */
  public LinkException(String message, @Nullable Exception cause) {
    super(message, cause);
  }
}
