package org.borewarden.agent.config;

import java.time.Duration;
import java.util.Optional;

/**
 * A port that gauges hang on.
 *
 * @param id its name; the gauge's id where the port belongs to one gauge
 * @param link how its bytes come
 * @param frame how frames are cut from them
 * @param pattern RE2 syntax with the named group {@code value} and optionally {@code unit}, {@code
 *     input}, {@code status}; must match the whole frame
 * @param decimalComma whether the gauge writes a comma for the decimal point
 * @param quietFor silence after which the port is shown as quiet; empty for never
 */
public record PortConfig(
    String id,
    Link link,
    Frame frame,
    String pattern,
    boolean decimalComma,
    Optional<Duration> quietFor) {

  /** How bytes come. */
  public sealed interface Link {}

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
   * How frames are cut.
   *
   * @param ends the bytes that end a frame; empty for any of CR, LF, CR LF
   * @param longest bytes, terminator excluded; a longer frame is rejected
   */
  public record Frame(Optional<String> ends, int longest) {}

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
