package org.borewarden.agent.decode;

import java.util.Locale;

/**
 * Shows bytes from outside in a log, a journal or a payload: printable ASCII, of bounded length.
 */
public final class Excerpt {
  private Excerpt() {}

  /**
   * The first bytes of a frame, escaped; never ends within an escape.
   *
   * @param text one character a byte
   * @param longest the most characters of the answer
   * @return for example {@code 62.0\x00\r}
   */
  public static String of(String text, int longest) {
    StringBuilder shown = new StringBuilder(Math.min(longest, text.length()));
    for (int i = 0; i < text.length(); i++) {
      String next = escaped(text.charAt(i));
      if (shown.length() + next.length() > longest) {
        break;
      }
      shown.append(next);
    }
    return shown.toString();
  }

  /** A piece of a frame as a detail repeats it. */
  static String quoted(String text) {
    return "'" + of(text, FrameDecoder.SHOWN) + "'";
  }

  private static String escaped(char c) {
    return switch (c) {
      case '\\' -> "\\\\";
      case '\r' -> "\\r";
      case '\n' -> "\\n";
      case '\t' -> "\\t";
      default ->
          c >= ' ' && c <= '~'
              ? String.valueOf(c)
              : String.format(Locale.ROOT, "\\x%02X", c & 0xFF);
    };
  }
}
