package org.borewarden.rules.hold;

/** The reason numbers on the wire to the cell. A number is never re-used. */
public enum Reason {
  /** Nothing stands. */
  NONE(0, "none"),
  /** A bore is proven or judged below its lower limit. */
  UNDERSIZE(1, "undersize"),
  /** A bore is proven or judged above its upper limit. */
  OVERSIZE(2, "oversize"),
  /** A bore is not proven within its limits. */
  UNDECIDED(3, "undecided"),
  /** The forecast says that bores run out of limit soon. */
  FORECAST(4, "forecast"),
  /** A run rule saw a pattern. */
  RUN(5, "run"),
  /** The agent did not stop cleanly; a person must look. */
  UNCLEAN_STOP(6, "unclean-stop"),
  /** A trial's evidence failed or its parts are used up. */
  TRIAL_FAILED(7, "trial-failed"),
  /** A bypass ended. */
  BYPASS_ENDED(8, "bypass-ended"),
  /** The rules were reloaded during a trial. */
  RULES_CHANGED(9, "rules-changed"),
  /** A person or system asked for a hold (drain, hold-path test). */
  ASKED(10, "asked"),
  /** A repeat reading did not come in time. */
  NOT_CONFIRMED(11, "not-confirmed"),
  /** The cell ignores the permit by a key of its own. */
  OWN_BYPASS(12, "own-bypass"),
  /** The path of a hold to the cell is due to be proved. */
  HOLD_TEST_DUE(13, "hold-test-due"),
  /** What one person asked for waits for a second one. */
  SECOND_PERSON(14, "second-person"),
  /** The level of the bores has moved: a moving average or a cumulative sum is beyond its limit. */
  SHIFT(15, "shift"),
  /** Bores repeat themselves too exactly. */
  REPEATS(16, "repeats"),
  /** The spread from bore to bore has grown. */
  SPREAD(17, "spread"),
  /** Bores drift otherwise than expected. */
  DRIFT(18, "drift"),
  /** A tool offset shows otherwise than it was asked for. */
  OFFSET(19, "offset"),
  /** The agent starts; evidence is not yet fresh. */
  STARTING(20, "starting"),
  /** The link to the cell's controller is lost. */
  LINK(21, "link"),
  /** The journal cannot be written. */
  JOURNAL(22, "journal"),
  /** The judging thread stalled. */
  STALL(23, "stall"),
  /** The rules file is not valid. */
  RULES_INVALID(24, "rules-invalid"),
  /** A gauge's port is lost. */
  SOURCE_LOST(25, "source-lost"),
  /** A gauge may not be believed. */
  GAUGE_BELIEF(26, "gauge-belief"),
  /** A first out-of-limit reading waits for its repeat. */
  MEASURE_AGAIN(27, "measure-again"),
  /** Input came faster than it could be taken. */
  OVERRUN(28, "overrun"),
  /** A feature cannot be judged because of a fault of our own. */
  NOT_JUDGED(29, "not-judged"),
  /** The broker is lost and MQTT is the cell's only output. */
  BROKER(30, "broker"),
  /** The bits of the registers are walked toward the cell. */
  CELL_TEST(31, "cell-test"),
  /** The first parts after a change have not yet shown that they are good. */
  FIRST_OFF(32, "first-off"),
  /** The form of a bore is over its limit. */
  FORM(40, "form"),
  /** A bore is not judged and would be out of limit. */
  WITHHELD(41, "withheld"),
  /** Bores in a row are withheld: nothing is known of the parts. */
  NO_EVIDENCE(42, "no-evidence"),
  /** Too many first readings are out and then confirmed back in. */
  CONFIRMED_IN(43, "confirmed-in"),
  /** The bore that raised the hold was taken back. */
  EVIDENCE_WITHDRAWN(44, "evidence-withdrawn"),
  /** A gauge must be checked on its ring. */
  RING_CHECK_DUE(45, "ring-check-due"),
  /** More parts were cut without a bore than the rules allow. */
  INSPECTION_OVERDUE(46, "inspection-overdue"),
  /** A challenge piece was seen as what it is: the hold proves the path to the cell. */
  CHALLENGE(47, "challenge"),
  /** A challenge piece was not seen as what it is. */
  CHALLENGE_FAILED(48, "challenge-failed"),
  /** A challenge piece is due. */
  CHALLENGE_DUE(49, "challenge-due");

  private final int number;
  private final String key;

  Reason(int number, String key) {
    this.number = number;
    this.key = key;
  }

  /**
   * The number on the wire.
   *
   * @return 0 to 65535
   */
  public int number() {
    return number;
  }

  /**
   * The key in payloads and metrics; texts stand beside it per language.
   *
   * @return lower case, with hyphens
   */
  public String key() {
    return key;
  }

  /**
   * Whether it is the reason of a condition, which clears by itself; else of a cause or an alert.
   *
   * @return true for the numbers 20 to 39
   */
  public boolean ofCondition() {
    return number >= STARTING.number && number < FORM.number;
  }
}
