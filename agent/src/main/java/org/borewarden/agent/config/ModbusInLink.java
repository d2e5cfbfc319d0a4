package org.borewarden.agent.config;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * Registers of a Modbus server that are polled, over TCP or (RTU) over a serial line.
 *
 * @param host the server; empty on a serial line
 * @param port its port
 * @param unit the unit id, 0 to 255
 * @param table which registers
 * @param register the first register of the value, counted from 0
 * @param type how the registers make a number
 * @param order the order of words and of bytes within them
 * @param scale what the number is multiplied by, exact
 * @param every the time from one poll to the next
 * @param counter a register that the server changes with each new value, in the same table; without
 *     it each poll is a reading
 * @param answerWithin the longest wait for a connection and for an answer
 * @param serial the serial line, in the stead of host and port
 */
public record ModbusInLink(
    String host,
    int port,
    int unit,
    Table table,
    int register,
    Type type,
    Order order,
    BigDecimal scale,
    Duration every,
    OptionalInt counter,
    Duration answerWithin,
    Optional<PortConfig.Serial> serial)
    implements PortConfig.Link {
  /**
   * Registers of a server that is reached over TCP.
   *
   * @param host the server
   * @param port its port
   * @param unit the unit id
   * @param table which registers
   * @param register the first register of the value
   * @param type how the registers make a number
   * @param order the order of words and bytes
   * @param scale what the number is multiplied by
   * @param every the time from one poll to the next
   * @param counter a register that changes with each new value
   * @param answerWithin the longest wait
   */
  public ModbusInLink(
      String host,
      int port,
      int unit,
      Table table,
      int register,
      Type type,
      Order order,
      BigDecimal scale,
      Duration every,
      OptionalInt counter,
      Duration answerWithin) {
    this(
        host,
        port,
        unit,
        table,
        register,
        type,
        order,
        scale,
        every,
        counter,
        answerWithin,
        Optional.empty());
  }

  /**
   * Where the server is.
   *
   * @return such as {@code 192.168.10.50:502} or {@code /dev/ttyUSB0}
   */
  public String place() {
    return serial.map(PortConfig.Serial::device).orElseGet(() -> host + ":" + port);
  }

  /** The two tables of 16-bit registers. */
  public enum Table {
    /** Read and write: function code 3. */
    HOLDING,
    /** Read only: function code 4. */
    INPUT
  }

  /** How registers make a number. */
  public enum Type {
    /** One register, two's complement. */
    INT16(1),
    /** One register. */
    UINT16(1),
    /** Two registers, two's complement. */
    INT32(2),
    /** Two registers. */
    UINT32(2),
    /** Two registers, IEEE 754 binary32. */
    FLOAT32(2),
    /** Four registers, IEEE 754 binary64. */
    FLOAT64(4);

    private final int registers;

    Type(int registers) {
      this.registers = registers;
    }

    /**
     * How many registers it takes.
     *
     * @return 1, 2 or 4
     */
    public int registers() {
      return registers;
    }
  }

  /** The order of a number's bytes on the wire. */
  public enum Order {
    /** The highest byte first, as the standard sends a register. */
    HIGH_FIRST,
    /** The lowest word first, within a word the high byte first. */
    LOW_WORD_FIRST,
    /** The highest word first, within a word the low byte first. */
    LOW_BYTE_FIRST,
    /** The lowest byte first. */
    LOW_FIRST
  }
}
