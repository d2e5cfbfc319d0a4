package org.borewarden.rules.hold;

/**
 * The state of a cell's hold. The two-letter codes of docs/hold.md stand in each line's comment.
 */
public enum Phase {
  /** SU: after a start, evidence not yet fresh; permit absent. */
  STARTING(false),
  /** RUN: permitted. */
  PERMITTED(true),
  /** NRY: a condition stands, nothing is latched; permit absent. */
  NOT_READY(false),
  /** REQ: a hold is latched and not yet heard by the cell; permit absent. */
  REQUESTED(false),
  /** ACK: a hold is latched and the cell has heard it; permit absent. */
  HEARD(false),
  /** TRY: released for a counted number of parts, evidence still owed; permit present. */
  TRIAL(true),
  /** RLW: a release is being written; permit absent unless it came from a trial. */
  RELEASING(false),
  /** BYP: a timed, named exception; permit present. */
  BYPASSED(true);

  private final boolean permits;

  Phase(boolean permits) {
    this.permits = permits;
  }

  /**
   * Whether the phase by itself gives the permit; a standing condition takes it away all the same.
   *
   * @return true for the phases whose output is permit present
   */
  public boolean permits() {
    return permits;
  }
}
