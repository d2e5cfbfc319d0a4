package org.borewarden.rules.file.yaml;

import java.util.Locale;

/** Shows in one line, and shortened, what a file says. */
final class Shown {
  /** The most characters of a file's own text that a message repeats. */
  static final int LONGEST = 60;

  private Shown() {}

  /** What stands there, for "found ...". */
  static String found(Node node) {
    if (node instanceof Node.Scalar scalar) {
      return scalar.nothing() || scalar.text().isBlank() ? "nothing" : shortened(scalar.text());
    }
    return node instanceof Node.Sequence ? "a list" : "a mapping";
  }

  /** Text without line breaks and of bounded length. */
  static String shortened(String text) {
    return shortened(text, LONGEST);
  }

  /** Text without line breaks and no longer than so many characters. */
  static String shortened(String text, int longest) {
    StringBuilder shown = new StringBuilder();
    int count = 0;
    for (int c : text.codePoints().toArray()) {
      if (++count > longest) {
        return shown.append("...").toString();
      }
      boolean control = c < 0x20 || (c >= 0x7F && c < 0xA0);
      shown.append(control ? String.format(Locale.ROOT, "\\u%04X", c) : Character.toString(c));
    }
    return shown.toString();
  }

  /** The path of a key. */
  static String path(String parent, String key) {
    String shown = shortened(key);
    return parent.isEmpty() ? shown : parent + "." + shown;
  }
}
