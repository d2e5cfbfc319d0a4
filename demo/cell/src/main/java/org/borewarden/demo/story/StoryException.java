package org.borewarden.demo.story;

/** The demo did not see what it must see. */
public final class StoryException extends Exception {
  private static final long serialVersionUID = 1L;

  /**
   * What was missed.
   *
   * @param message in words
   */
  public StoryException(String message) {
    super(message);
  }
}
