package org.borewarden.demo.story;

/** The demo did not see what it must see. */
final class StoryException extends Exception {
  private static final long serialVersionUID = 1L;

  StoryException(String message) {
    super(message);
  }
}
