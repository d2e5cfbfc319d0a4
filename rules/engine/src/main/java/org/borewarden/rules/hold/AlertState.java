package org.borewarden.rules.hold;

/**
 * The life cycle of an alert, after ISA-18.2 / IEC 62682 as public texts tell it (the standards
 * were not read), in words.
 */
public enum AlertState {
  /** Nothing to say. */
  NORMAL("normal"),
  /** It stands and nobody has said that he saw it. */
  ACTIVE_UNACKNOWLEDGED("active-unacknowledged"),
  /** It stands and a person has seen it. */
  ACTIVE_ACKNOWLEDGED("active-acknowledged"),
  /** Its cause is gone and nobody has said that he saw it. */
  RETURNED_UNACKNOWLEDGED("returned-unacknowledged"),
  /** Its cause is gone; it stays until a person releases the hold. */
  LATCHED("latched"),
  /** Set aside by a person until an end, with a reason. */
  SHELVED("shelved"),
  /** Its gauge or feature is out of service. */
  OUT_OF_SERVICE("out-of-service");

  private final String key;

  AlertState(String key) {
    this.key = key;
  }

  /**
   * The state in payloads.
   *
   * @return lower case, with hyphens
   */
  public String key() {
    return key;
  }
}
