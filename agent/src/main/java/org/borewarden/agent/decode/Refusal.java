package org.borewarden.agent.decode;

/** Why a frame is no reading. */
public enum Refusal {
  /** A byte that is not printable ASCII, and that the pattern does not name. */
  NOT_TEXT("not-text"),
  /** The frame is no JSON. */
  NOT_JSON("not-json"),
  /** The gauge says of itself that its value must not be read. */
  GAUGE_SAYS("gauge-says"),
  /** The pattern does not match the whole frame, or nothing stands where the value should. */
  NO_MATCH("no-match"),
  /** The value is no decimal number of at most nine decimals, or no whole number of picometres. */
  BAD_NUMBER("bad-number"),
  /** The frame names a unit that we do not know. */
  UNKNOWN_UNIT("unknown-unit"),
  /** Neither the frame nor the config names a unit. */
  NO_UNIT("no-unit"),
  /** The frame names an input that no gauge of the port has. */
  UNKNOWN_INPUT("unknown-input"),
  /** The value lies beyond 100 m. */
  OUT_OF_RANGE("out-of-range");

  private final String key;

  Refusal(String key) {
    this.key = key;
  }

  /**
   * The reason as topics and metrics name it.
   *
   * @return for example {@code no-match}
   */
  public String key() {
    return key;
  }
}
