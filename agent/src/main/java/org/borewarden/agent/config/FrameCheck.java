package org.borewarden.agent.config;

/**
 * A checksum that a frame carries.
 *
 * @param kind how it is computed
 * @param written how it is written
 * @param afterEnd whether it stands behind the end of the frame; else right before it
 * @param covers which bytes it is computed over
 */
public record FrameCheck(Kind kind, Written written, boolean afterEnd, Covers covers) {
  /** How a checksum is computed. */
  public enum Kind {
    /** All bytes XORed; 8 bits. */
    XOR(1),
    /** The sum of all bytes modulo 256; 8 bits. */
    SUM_8(1),
    /** CRC-16/MODBUS of the public catalogues: 8005 reflected, from FFFF; 16 bits. */
    CRC_16_MODBUS(2),
    /** CRC-16/XMODEM of the public catalogues: 1021, from 0; 16 bits. */
    CRC_16_XMODEM(2);

    private final int bytes;

    Kind(int bytes) {
      this.bytes = bytes;
    }

    /**
     * Its size.
     *
     * @return 1 or 2 bytes
     */
    public int bytes() {
      return bytes;
    }
  }

  /** How a checksum is written. */
  public enum Written {
    /** Two hexadecimal digits a byte, of either case, the high byte first. */
    HEX,
    /** As it is, the high byte first. */
    BYTES,
    /** As it is, the low byte first. */
    BYTES_LOW_FIRST
  }

  /** Which bytes of a frame a checksum is computed over. */
  public enum Covers {
    /** What stands between start and end, the checksum itself excepted. */
    DATA,
    /** That and the end; for a checksum behind the end. */
    DATA_AND_END,
    /** From the start of the frame up to the checksum. */
    ALL
  }

  /**
   * How many characters it takes in the frame.
   *
   * @return 1 to 4
   */
  public int length() {
    return written == Written.HEX ? 2 * kind.bytes() : kind.bytes();
  }
}
