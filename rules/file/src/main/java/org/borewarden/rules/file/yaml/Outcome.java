package org.borewarden.rules.file.yaml;

import java.util.List;

/**
 * What came of reading a file.
 *
 * @param <T> what a good file gives
 */
public sealed interface Outcome<T> {
  /**
   * The file is good.
   *
   * @param <T> what a good file gives
   * @param value what it says
   */
  record Good<T>(T value) implements Outcome<T> {}

  /**
   * The file is refused, whole.
   *
   * @param <T> what a good file would give
   * @param problems everything that is wrong with it, at least one
   */
  record Refused<T>(List<Problem> problems) implements Outcome<T> {
    /** Copies the list. */
    public Refused {
      problems = List.copyOf(problems);
    }
  }
}
