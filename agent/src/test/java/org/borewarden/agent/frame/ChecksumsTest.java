package org.borewarden.agent.frame;

import static org.assertj.core.api.Assertions.assertThat;

import org.borewarden.agent.config.FrameCheck;
import org.borewarden.agent.config.FrameCheck.Covers;
import org.borewarden.agent.config.FrameCheck.Kind;
import org.borewarden.agent.config.FrameCheck.Written;
import org.junit.jupiter.api.Test;

class ChecksumsTest {
  private static final String DIGITS = "123456789";

  /**
   * Source: crc-catalog (documentation of the crate of that name, after the catalogue of
   * parametrised CRC algorithms), algorithms CRC_16_MODBUS and CRC_16_XMODEM, each with its check
   * value.
   */
  @Test
  void theNineDigitsHaveTheirPublishedChecksums() {
    assertThat(Checksums.of(Kind.CRC_16_MODBUS, DIGITS)).isEqualTo(0x4B37);
    assertThat(Checksums.of(Kind.CRC_16_XMODEM, DIGITS)).isEqualTo(0x31C3);
  }

  /** By hand: 0x31 to 0x39 add to 477 = 0x1DD, and 1 ^ 2 ^ .. ^ 9 = 1, with nine times 0x30. */
  @Test
  void theNineDigitsAddUpAndXorAsByHand() {
    assertThat(Checksums.of(Kind.SUM_8, DIGITS)).isEqualTo(0xDD);
    assertThat(Checksums.of(Kind.XOR, DIGITS)).isEqualTo(0x31);
  }

  @Test
  void aChecksumIsWrittenInDigitsOrBytesOfEitherOrder() {
    assertThat(written(Kind.CRC_16_MODBUS, Written.HEX, 0x4B37)).isEqualTo("4B37");
    assertThat(written(Kind.CRC_16_MODBUS, Written.BYTES, 0x4B37)).isEqualTo("K7");
    assertThat(written(Kind.CRC_16_MODBUS, Written.BYTES_LOW_FIRST, 0x4B37)).isEqualTo("7K");
    assertThat(written(Kind.XOR, Written.HEX, 5)).isEqualTo("05");
    assertThat(written(Kind.XOR, Written.BYTES, 0xFF)).isEqualTo("\u00FF");
  }

  private static String written(Kind kind, Written written, int sum) {
    return Checksums.written(new FrameCheck(kind, written, false, Covers.DATA), sum);
  }
}
