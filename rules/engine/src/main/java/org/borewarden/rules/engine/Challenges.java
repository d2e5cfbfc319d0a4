package org.borewarden.rules.engine;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import org.borewarden.rules.hold.HoldState;

/**
 * What a command about a hold must quote: new at each boot, hold and revision, and not to be
 * guessed without the boot's secret. Replay protection that needs no clock.
 */
final class Challenges {
  private static final int HEX_DIGITS = 16;

  private Challenges() {}

  static String of(Life life, String cell, HoldState hold) {
    String about =
        life.bootNonce() + '\n' + cell + '\n' + hold.lastNumber() + '\n' + hold.revision();
    byte[] digest = sha256().digest(about.getBytes(StandardCharsets.UTF_8));
    return HexFormat.of().formatHex(digest).substring(0, HEX_DIGITS);
  }

  private static MessageDigest sha256() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }
}
