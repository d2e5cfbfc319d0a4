package org.borewarden.demo.story;

import java.security.SecureRandom;
import java.util.Locale;

/** Command ids: UUID version 7 (RFC 9562), time first, then random. */
final class Ids {
  private static final SecureRandom RANDOM = new SecureRandom();

  private Ids() {}

  static String next() {
    long millis = System.currentTimeMillis();
    long high = RANDOM.nextLong() & 0x0fffL;
    long low = RANDOM.nextLong();
    return String.format(
        Locale.ROOT,
        "%08x-%04x-7%03x-%04x-%012x",
        millis >>> 16,
        millis & 0xffff,
        high,
        0x8000 | (low >>> 48 & 0x3fff),
        low & 0xffff_ffff_ffffL);
  }
}
