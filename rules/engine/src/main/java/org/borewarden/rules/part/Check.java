package org.borewarden.rules.part;

import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** The checks that settings share; the messages say what was expected and found. */
final class Check {
  private Check() {}

  static void range(String what, int value, int least, int most) {
    if (value < least || value > most) {
      throw new IllegalArgumentException(
          "expected " + what + " to be " + least + " to " + most + ", found " + value);
    }
  }

  static void range(String what, double value, double least, double most) {
    if (!(value >= least && value <= most)) {
      throw new IllegalArgumentException(
          "expected " + what + " to be " + least + " to " + most + ", found " + value);
    }
  }

  /** Names stand in keys and topics, so what divides these must not stand in a name. */
  static void name(String what, String name) {
    if (name.isBlank() || name.chars().anyMatch(c -> "/+#".indexOf(c) >= 0 || c < ' ')) {
      throw new IllegalArgumentException(
          "expected " + what + " to be a name without / + #, found '" + name + "'");
    }
  }

  static void unique(String what, List<?> values) {
    Set<Object> seen = new HashSet<>();
    for (Object value : values) {
      if (!seen.add(value)) {
        throw new IllegalArgumentException("the " + what + " " + value + " is there twice");
      }
    }
  }
}
