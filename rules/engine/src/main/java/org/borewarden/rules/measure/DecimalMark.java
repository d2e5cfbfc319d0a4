package org.borewarden.rules.measure;

/** The character between the whole digits and the decimals. */
public enum DecimalMark {
  /** 62.030 : files, and most gauges. */
  POINT('.'),
  /** 62,030 : gauges that are set to it. */
  COMMA(',');

  private final char character;

  DecimalMark(char character) {
    this.character = character;
  }

  /**
   * The mark as it is written.
   *
   * @return the character
   */
  public char character() {
    return character;
  }
}
