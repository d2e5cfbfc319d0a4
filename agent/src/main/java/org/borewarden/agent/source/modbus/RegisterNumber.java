package org.borewarden.agent.source.modbus;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.nio.ByteBuffer;
import org.borewarden.agent.config.ModbusInLink;

/** Makes a decimal number of the bytes of registers. */
final class RegisterNumber {
  private RegisterNumber() {}

  /**
   * The number in plain decimal digits; of a binary fraction the fewest that name it, as a display
   * would show them. What is no number is said as such, and no reading is made of it.
   *
   * @param bytes as they came, two a register
   */
  static String text(ModbusInLink link, byte[] bytes) {
    ByteBuffer ordered = ByteBuffer.wrap(ordered(link.order(), bytes));
    return switch (link.type()) {
      case INT16 -> scaled(link, BigDecimal.valueOf(ordered.getShort()));
      case UINT16 -> scaled(link, BigDecimal.valueOf(Short.toUnsignedInt(ordered.getShort())));
      case INT32 -> scaled(link, BigDecimal.valueOf(ordered.getInt()));
      case UINT32 -> scaled(link, new BigDecimal(new BigInteger(1, ordered.array())));
      case FLOAT32 -> fraction(link, Float.toString(ordered.getFloat()));
      case FLOAT64 -> fraction(link, Double.toString(ordered.getDouble()));
    };
  }

  private static String fraction(ModbusInLink link, String digits) {
    char last = digits.charAt(digits.length() - 1);
    return last >= '0' && last <= '9' ? scaled(link, new BigDecimal(digits)) : digits;
  }

  private static String scaled(ModbusInLink link, BigDecimal number) {
    return number.multiply(link.scale()).toPlainString();
  }

  private static byte[] ordered(ModbusInLink.Order order, byte[] bytes) {
    byte[] high = new byte[bytes.length];
    for (int i = 0; i < bytes.length; i++) {
      int from =
          switch (order) {
            case HIGH_FIRST -> i;
            case LOW_WORD_FIRST -> bytes.length - 2 - (i & ~1) + (i & 1);
            case LOW_BYTE_FIRST -> i ^ 1;
            case LOW_FIRST -> bytes.length - 1 - i;
          };
      high[i] = bytes[from];
    }
    return high;
  }
}
