package org.borewarden.agent.source.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.HexFormat;
import java.util.OptionalInt;
import org.borewarden.agent.config.ModbusInLink;
import org.borewarden.agent.config.ModbusInLink.Order;
import org.borewarden.agent.config.ModbusInLink.Table;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RegisterNumberTest {
  /**
   * The bytes of the binary fractions: IEEE 754, by Python's struct.pack('>f', 62.0341) and '>d'.
   */
  @ParameterizedTest
  @CsvSource({
    "INT16, HIGH_FIRST, FFFE, 0.001, -0.002",
    "UINT16, HIGH_FIRST, FFFE, 1, 65534",
    "UINT16, LOW_BYTE_FIRST, FEFF, 1, 65534",
    "INT32, HIGH_FIRST, 00097735, 0.0001, 62.0341",
    "INT32, LOW_WORD_FIRST, 77350009, 0.0001, 62.0341",
    "INT32, LOW_BYTE_FIRST, 09003577, 0.0001, 62.0341",
    "INT32, LOW_FIRST, 35770900, 0.0001, 62.0341",
    "INT32, HIGH_FIRST, FFFFFFFF, 0.0001, -0.0001",
    "UINT32, HIGH_FIRST, FFFFFFFF, 1, 4294967295",
    "FLOAT32, HIGH_FIRST, 427822EB, 1, 62.0341",
    "FLOAT32, LOW_WORD_FIRST, 22EB4278, 1, 62.0341",
    "FLOAT64, HIGH_FIRST, 404F045D63886595, 1, 62.0341",
    "FLOAT64, LOW_WORD_FIRST, 65956388045D404F, 1, 62.0341",
    "FLOAT32, HIGH_FIRST, 7FC00000, 1, NaN",
    "FLOAT32, HIGH_FIRST, FF800000, 1, -Infinity"
  })
  void registersBecomeTheDecimalsOfTheirNumber(
      ModbusInLink.Type type, Order order, String bytes, BigDecimal scale, String text) {
    ModbusInLink link =
        new ModbusInLink(
            "h",
            502,
            1,
            Table.HOLDING,
            0,
            type,
            order,
            scale,
            Duration.ofSeconds(1),
            OptionalInt.empty(),
            Duration.ofSeconds(1));
    assertThat(RegisterNumber.text(link, HexFormat.of().parseHex(bytes))).isEqualTo(text);
  }
}
