package org.borewarden.rules;

import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.WrittenLength;

/** Lengths for tests, as a person writes them. */
public final class Lengths {
  private Lengths() {}

  /** Such as {@code 62.030 mm}. */
  public static Length of(String text) {
    return written(text).length();
  }

  public static WrittenLength written(String text) {
    if (LengthText.parse(text) instanceof Parsed.Ok<WrittenLength> ok) {
      return ok.value();
    }
    throw new IllegalArgumentException(text + ": " + LengthText.parse(text));
  }
}
