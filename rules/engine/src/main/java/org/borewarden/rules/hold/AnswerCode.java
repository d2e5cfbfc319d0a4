package org.borewarden.rules.hold;

/** The answers to a command (docs/hold.md). */
public enum AnswerCode {
  /** Done, and recorded. */
  ACCEPTED("accepted"),
  /** Taken; evidence is still owed, a trial permit runs. */
  PENDING_EVIDENCE("pending-evidence"),
  /** The agent's evidence is not yet fresh. */
  STARTING("starting"),
  /** No hold is latched. */
  NOTHING_HELD("nothing-held"),
  /** The command quotes an older hold or revision than the one that stands. */
  SUPERSEDED("superseded"),
  /** The same is already under way. */
  ALREADY_PENDING("already-pending"),
  /** The evidence that this release needs is not there. */
  EVIDENCE_MISSING("evidence-missing"),
  /** A condition stands; the permit would come back with nobody looking. */
  CONDITION_PRESENT("condition-present"),
  /** The caller's role may not do this. */
  NO_RIGHT("no-right"),
  /** Issued too long ago. */
  STALE("stale"),
  /** The challenge is not the one that stands. */
  REPLAYED("replayed"),
  /** Commands must not be retained. */
  RETAINED("retained"),
  /** The command could not be read. */
  MALFORMED("malformed"),
  /** A value is over its limit. */
  OVER_LIMIT("over-limit"),
  /** The record could not be written. */
  NOT_RECORDED("not-recorded"),
  /** Taken; a second person must confirm it. */
  PENDING_SECOND_PERSON("pending-second-person");

  private final String key;

  AnswerCode(String key) {
    this.key = key;
  }

  /**
   * The code in payloads.
   *
   * @return lower case, with hyphens
   */
  public String key() {
    return key;
  }
}
