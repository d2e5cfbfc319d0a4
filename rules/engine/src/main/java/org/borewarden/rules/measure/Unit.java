package org.borewarden.rules.measure;

import java.util.Optional;

/** A unit of length in which a gauge shows, a rules file states, or an output prints a size. */
public enum Unit {
  /** Millimetre. */
  MILLIMETRE("mm", 1_000_000_000L),
  /** Micrometre. */
  MICROMETRE("um", 1_000_000L),
  /** International inch, 25.4 mm exactly. */
  INCH("in", 25_400_000_000L),
  /** Millionth of an inch, 25 400 pm exactly. */
  MICROINCH("uin", 25_400L);

  private final String symbol;
  private final long picometres;

  Unit(String symbol, long picometres) {
    this.symbol = symbol;
    this.picometres = picometres;
  }

  /**
   * The unit that a symbol names.
   *
   * @param symbol such as {@code mm}, exactly as {@link #symbol()} gives it
   * @return the unit, or empty where no unit has that symbol
   */
  public static Optional<Unit> ofSymbol(String symbol) {
    for (Unit unit : values()) {
      if (unit.symbol.equals(symbol)) {
        return Optional.of(unit);
      }
    }
    return Optional.empty();
  }

  /**
   * The symbol as written in files and payloads.
   *
   * @return for example {@code mm}
   */
  public String symbol() {
    return symbol;
  }

  /**
   * The size of the unit.
   *
   * @return whole picometres, exact
   */
  public long picometres() {
    return picometres;
  }
}
