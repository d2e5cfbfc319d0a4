package org.borewarden.rules.file.yaml;

/**
 * A place in a text file.
 *
 * @param line the line, from 1
 * @param column the column in characters, from 1
 */
public record Position(int line, int column) {
  /** The first character of a file. */
  public static final Position START = new Position(1, 1);
}
