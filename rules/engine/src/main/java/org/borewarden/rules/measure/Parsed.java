package org.borewarden.rules.measure;

/**
 * What came of reading a text: a value, or why not and where. Bad input is a value, not an
 * exception.
 *
 * @param <T> what was to be read
 */
public sealed interface Parsed<T> {

  /**
   * The text said this.
   *
   * @param value what was read
   * @param <T> what was to be read
   */
  record Ok<T>(T value) implements Parsed<T> {}

  /**
   * The text could not be read.
   *
   * @param why what was expected and found, such as {@code expected a digit, found 'x'}
   * @param offset the character at which it went wrong, from 0; the text's length at its end
   * @param <T> what was to be read
   */
  record Refused<T>(String why, int offset) implements Parsed<T> {}
}
