package org.borewarden.agent.config;

/** Says that a secret cannot be had; it names the place, never the secret. */
public final class SecretException extends Exception {
  private static final long serialVersionUID = 1L;

  /**
   * A secret that cannot be had.
   *
   * @param message what was being fetched from where, and what is wrong there
   */
  public SecretException(String message) {
    super(message);
  }
}
