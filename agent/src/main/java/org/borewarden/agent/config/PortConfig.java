package org.borewarden.agent.config;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * A port that gauges hang on.
 *
 * @param id its name; the gauge's id where the port belongs to one gauge
 * @param link how its bytes come
 * @param frame how frames are cut from them
 * @param pattern RE2 syntax with the named group {@code value}, or {@code value_X} for each input
 *     X, and optionally {@code unit}, {@code sign}, {@code input}, {@code status}; must match the
 *     whole frame
 * @param decimalComma whether the gauge writes a comma for the decimal point
 * @param quietFor silence after which the port is shown as quiet; empty for never
 * @param asking how a gauge is asked that says nothing by itself
 * @param json where things stand in a JSON frame, in the pattern's stead
 * @param decimals how many of the digits of a value without a decimal sign are decimals
 * @param refuseStatus what a gauge says of itself when its value must not be read
 * @param lowBattery what it says of itself when its battery is low
 */
public record PortConfig(
    String id,
    Link link,
    Frame frame,
    String pattern,
    boolean decimalComma,
    Optional<Duration> quietFor,
    Optional<Asking> asking,
    Optional<JsonPaths> json,
    OptionalInt decimals,
    List<String> refuseStatus,
    List<String> lowBattery) {
  /** Copies the lists. */
  public PortConfig {
    refuseStatus = List.copyOf(refuseStatus);
    lowBattery = List.copyOf(lowBattery);
  }

  /**
   * A port whose gauges speak by themselves, in plain text.
   *
   * @param id its name
   * @param link how its bytes come
   * @param frame how frames are cut from them
   * @param pattern what a frame looks like
   * @param decimalComma whether the gauge writes a comma for the decimal point
   * @param quietFor silence after which the port is shown as quiet
   */
  public PortConfig(
      String id,
      Link link,
      Frame frame,
      String pattern,
      boolean decimalComma,
      Optional<Duration> quietFor) {
    this(
        id,
        link,
        frame,
        pattern,
        decimalComma,
        quietFor,
        Optional.empty(),
        Optional.empty(),
        OptionalInt.empty(),
        List.of(),
        List.of());
  }

  /**
   * Whether its frames can tell an input.
   *
   * @param input the input
   * @return false where a gauge with that input would never be read
   */
  boolean tells(String input) {
    return json.isPresent()
        ? json.get().input().isPresent()
        : PortReader.names(pattern, "input")
            || PortReader.names(pattern, PortReader.VALUE_OF + input);
  }

  /** Whether its frames can tell a status. */
  boolean tellsStatus() {
    return json.isPresent()
        ? json.get().status().isPresent()
        : PortReader.namesFor(pattern, "status");
  }

  /** How bytes come. */
  public sealed interface Link
      permits Serial, Tcp, ListenLink, MqttInLink, ModbusInLink, FollowLink, StandardInputLink {}

  /**
   * A serial port.
   *
   * @param device a stable name such as {@code /dev/serial/by-id/...}, or {@code COM3}
   * @param baud bits per second
   * @param dataBits 5 to 8
   * @param parity none, odd, even, mark or space
   * @param stopBits 1 or 2
   * @param flow none, rts-cts or xon-xoff
   * @param dtr the level of DTR; many interfaces draw their power from it
   * @param rts the level of RTS
   */
  public record Serial(
      String device,
      int baud,
      int dataBits,
      Parity parity,
      int stopBits,
      Flow flow,
      boolean dtr,
      boolean rts)
      implements Link {}

  /**
   * A TCP server that gives the bytes of a serial port.
   *
   * @param host its name or address
   * @param port its port
   * @param connectTimeout the longest wait for a connection
   */
  public record Tcp(String host, int port, Duration connectTimeout) implements Link {}

  /**
   * How frames are cut: at their end, between a start and an end, or by their length.
   *
   * @param starts the bytes that start a frame, where it has such
   * @param ends the bytes that end a frame; empty for any of CR, LF, CR LF
   * @param length the bytes of each frame, its start excluded, where all have the same; it then has
   *     no end
   * @param longest bytes, start and end excluded; a longer frame is rejected
   * @param check the checksum that each frame carries
   */
  public record Frame(
      Optional<String> starts,
      Optional<String> ends,
      OptionalInt length,
      int longest,
      Optional<FrameCheck> check) {
    /**
     * Frames that only their end parts.
     *
     * @param ends the bytes that end a frame; empty for any of CR, LF, CR LF
     * @param longest bytes, terminator excluded
     */
    public Frame(Optional<String> ends, int longest) {
      this(Optional.empty(), ends, OptionalInt.empty(), longest, Optional.empty());
    }
  }

  /** Serial parity. */
  public enum Parity {
    /** No parity bit. */
    NONE,
    /** Odd. */
    ODD,
    /** Even. */
    EVEN,
    /** Always one. */
    MARK,
    /** Always zero. */
    SPACE
  }

  /** Serial flow control. */
  public enum Flow {
    /** None. */
    NONE,
    /** Hardware lines RTS and CTS. */
    RTS_CTS,
    /** Software characters XON and XOFF. */
    XON_XOFF
  }
}
