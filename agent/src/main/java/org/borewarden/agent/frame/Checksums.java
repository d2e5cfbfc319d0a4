package org.borewarden.agent.frame;

import java.util.Locale;
import org.borewarden.agent.config.FrameCheck;

/** The checksums that frames carry, each of few enough bytes to be computed bit by bit. */
final class Checksums {
  private static final int BYTE = 0xFF;
  private static final int MODBUS_START = 0xFFFF;
  private static final int MODBUS_REFLECTED = 0xA001;
  private static final int XMODEM = 0x1021;
  private static final int HIGH_BIT = 0x8000;

  private Checksums() {}

  /** The checksum of bytes, one a character. */
  static int of(FrameCheck.Kind kind, String bytes) {
    return switch (kind) {
      case XOR -> bytes.chars().reduce(0, (sum, b) -> sum ^ b) & BYTE;
      case SUM_8 -> bytes.chars().sum() & BYTE;
      case CRC_16_MODBUS -> modbus(bytes);
      case CRC_16_XMODEM -> xmodem(bytes);
    };
  }

  /** The checksum as a frame carries it, one byte a character. */
  static String written(FrameCheck check, int sum) {
    int digits = 2 * check.kind().bytes();
    return switch (check.written()) {
      case HEX -> String.format(Locale.ROOT, "%0" + digits + "X", sum);
      case BYTES -> digits == 2 ? text(sum) : text(sum >> Byte.SIZE) + text(sum);
      case BYTES_LOW_FIRST -> digits == 2 ? text(sum) : text(sum) + text(sum >> Byte.SIZE);
    };
  }

  private static String text(int bits) {
    return String.valueOf((char) (bits & BYTE));
  }

  private static int modbus(String bytes) {
    int crc = MODBUS_START;
    for (int i = 0; i < bytes.length(); i++) {
      crc ^= bytes.charAt(i);
      for (int bit = 0; bit < Byte.SIZE; bit++) {
        crc = (crc & 1) == 1 ? (crc >> 1) ^ MODBUS_REFLECTED : crc >> 1;
      }
    }
    return crc;
  }

  private static int xmodem(String bytes) {
    int crc = 0;
    for (int i = 0; i < bytes.length(); i++) {
      crc ^= bytes.charAt(i) << Byte.SIZE;
      for (int bit = 0; bit < Byte.SIZE; bit++) {
        crc = (crc & HIGH_BIT) == 0 ? crc << 1 : (crc << 1) ^ XMODEM;
      }
      crc &= 0xFFFF;
    }
    return crc;
  }
}
