package org.borewarden.agent.source.file;

import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.zip.CRC32;

/**
 * Where in a file reading ended, and how the bytes before it look, so that another file under the
 * same name is not taken for this one.
 *
 * @param offset the bytes before it
 * @param looked how many of them were looked at, at most {@link #MOST}
 * @param crc their CRC-32
 */
record Bookmark(long offset, int looked, long crc) {
  static final int MOST = 64;

  private static final Pattern TEXT = Pattern.compile("([0-9]{1,18})/([0-9]{1,2})/([0-9a-f]{8})");

  static Bookmark behind(long offset, byte[] before) {
    CRC32 crc = new CRC32();
    crc.update(before);
    return new Bookmark(offset, before.length, crc.getValue());
  }

  static Optional<Bookmark> parse(String text) {
    Matcher match = TEXT.matcher(text);
    return match.matches()
        ? Optional.of(
            new Bookmark(
                Long.parseLong(match.group(1)),
                Integer.parseInt(match.group(2)),
                Long.parseLong(match.group(3), 16)))
        : Optional.empty();
  }

  String text() {
    return String.format(Locale.ROOT, "%d/%d/%08x", offset, looked, crc);
  }
}
