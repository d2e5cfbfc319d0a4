package org.borewarden.rules.file.yaml;

import java.util.Locale;

/**
 * Looks for characters that no person meant: control characters, and line breaks that an editor
 * does not count, so that line numbers in messages are the editor's.
 */
final class Characters {
  private Characters() {}

  /** Tells the first character that may not stand in a file. */
  static boolean areAllowed(String text, Problems problems) {
    int line = 1;
    int column = 1;
    for (int i = 0; i < text.length(); ) {
      int c = text.codePointAt(i);
      if (!isAllowed(c)) {
        String found = String.format(Locale.ROOT, "expected printable characters, found U+%04X", c);
        problems.add(new Position(line, column), "", found);
        return false;
      }
      boolean ends = c == '\n' || (c == '\r' && !text.startsWith("\n", i + 1));
      line = ends ? line + 1 : line;
      column = ends ? 1 : column + 1;
      i += Character.charCount(c);
    }
    return true;
  }

  private static boolean isAllowed(int c) {
    if (c < 0x20) {
      return c == '\t' || c == '\n' || c == '\r';
    }
    boolean control = c >= 0x7F && c < 0xA0;
    boolean oddLineBreak = c == 0x2028 || c == 0x2029;
    boolean surrogate = c >= Character.MIN_SURROGATE && c <= Character.MAX_SURROGATE;
    boolean noCharacter = c == 0xFFFE || c == 0xFFFF || c == 0xFEFF;
    return !(control || oddLineBreak || surrogate || noCharacter);
  }
}
