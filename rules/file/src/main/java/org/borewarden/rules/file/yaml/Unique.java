package org.borewarden.rules.file.yaml;

import java.util.HashMap;
import java.util.Map;

/** Tells values that stand twice where each must stand once. Used by one thread. */
public final class Unique {
  private final String what;
  private final Map<Object, Position> seen = new HashMap<>();

  /**
   * Starts with none seen.
   *
   * @param what what the values are, such as {@code id}
   */
  public Unique(String what) {
    this.what = what;
  }

  /**
   * Notes a value.
   *
   * @param value the value
   * @param item where it stands
   */
  public void add(Object value, Item item) {
    Position first = seen.putIfAbsent(value, item.node().at());
    if (first != null) {
      item.refuse(
          "expected each " + what + " once, found " + value + " in line " + first.line() + " too");
    }
  }
}
