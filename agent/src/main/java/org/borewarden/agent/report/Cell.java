package org.borewarden.agent.report;

import java.math.BigDecimal;
import java.util.Optional;

/**
 * A cell of a table.
 *
 * @param text what is shown
 * @param number the same as a number, exact, where it is one
 */
record Cell(String text, Optional<BigDecimal> number) {
  static final Cell EMPTY = new Cell("", Optional.empty());

  static Cell of(String text) {
    return new Cell(text, Optional.empty());
  }

  static Cell of(Object text) {
    return of(text.toString());
  }

  static Cell of(long count) {
    return new Cell(Long.toString(count), Optional.of(BigDecimal.valueOf(count)));
  }

  static Cell of(BigDecimal value, String shown) {
    return new Cell(shown, Optional.of(value));
  }
}
