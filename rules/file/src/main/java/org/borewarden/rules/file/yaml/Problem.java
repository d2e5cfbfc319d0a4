package org.borewarden.rules.file.yaml;

/**
 * One thing that is wrong with a file, in one line.
 *
 * @param file the file's name, as the person gave it
 * @param line the line, from 1
 * @param column the column, from 1
 * @param path the keys down to the place, such as {@code features[0].upper}; empty for the file
 * @param message what is wrong and what is allowed
 */
public record Problem(String file, int line, int column, String path, String message) {
  /**
   * The problem as it is printed.
   *
   * @return {@code file:line:column path: message}
   */
  @Override
  public String toString() {
    String where = file + ":" + line + ":" + column + " ";
    return path.isEmpty() ? where + message : where + path + ": " + message;
  }
}
