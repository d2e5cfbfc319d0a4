package org.borewarden.rules.hold;

/**
 * The parts of a trial permit, by the cell's own counter, and the bores that they owe. Each part
 * must give its bore before the next but {@code lag} starts.
 *
 * @param partsLeft the parts that may still be cut; at 0 only bores that are owed can still
 *     complete the evidence
 * @param begun whether a part is known to be in the cut
 * @param owed the parts that were finished and gave no bore yet
 * @param lag how many finished parts may owe their bore when another starts; the parts between
 *     machine and gauge
 * @param evidence the good bores so far
 * @param met whether the evidence is there though the release could not be written yet
 * @param by who gave the trial permit
 */
public record Trial(
    int partsLeft, boolean begun, int owed, int lag, Evidence evidence, boolean met, String by) {
  /** The most parts of one trial permit. More is refused as over the limit. */
  public static final int MAX_PARTS = 100;

  /**
   * Checks the counts.
   *
   * @throws IllegalArgumentException when a count is negative
   */
  public Trial {
    if (partsLeft < 0 || owed < 0 || lag < 0) {
      throw new IllegalArgumentException("trial: expected no negative count");
    }
  }

  /**
   * What a release says of the trial that it asks for.
   *
   * @param parts the parts that may be cut
   * @param lag how many finished parts may owe their bore when another starts
   * @param goodNeeded the good bores in a row that the rules ask for
   */
  public record Terms(int parts, int lag, int goodNeeded) {
    /**
     * Whether a trial can run on these terms and can end well.
     *
     * @return false when a value is over its limit
     */
    public boolean withinLimits() {
      return parts >= 1
          && parts <= MAX_PARTS
          && lag >= 0
          && lag <= MAX_PARTS
          && goodNeeded >= 1
          && goodNeeded <= parts;
    }
  }

  /** How a trial stands after a part or a bore. */
  public enum Outcome {
    /** Nothing is decided yet. */
    GOES_ON,
    /** The evidence is there. */
    EVIDENCE_COMPLETE,
    /** A bore was not within. */
    BAD_BORE,
    /** A part gave no bore in time. */
    MISSING_BORE,
    /** The parts are used up and their bores do not make the evidence. */
    USED_UP;

    /**
     * Whether the trial ended without its evidence.
     *
     * @return true for a bad or missing bore and for parts used up
     */
    public boolean failed() {
      return this == BAD_BORE || this == MISSING_BORE || this == USED_UP;
    }
  }

  /**
   * A trial after a part or a bore.
   *
   * @param next its counts
   * @param outcome how it stands
   */
  public record Step(Trial next, Outcome outcome) {}

  /**
   * Begins a trial.
   *
   * @param terms its terms, within their limits
   * @param by who gives it
   * @return the trial before its first part
   */
  static Trial begin(Terms terms, String by) {
    return new Trial(
        terms.parts(), false, 0, terms.lag(), Evidence.of(terms.goodNeeded()), false, by);
  }

  /**
   * Whether the cell may begin another part. While the last part is in the cut it may not: it looks
   * at the permit at its start point only.
   *
   * @return true while the trial's permit stands
   */
  public boolean mayBegin() {
    return partsLeft > (begun ? 1 : 0);
  }

  /**
   * The cell began a part. For cells that tell it; else the same is checked when the part is
   * finished.
   *
   * @return the trial after it
   */
  public Step partBegun() {
    if (owed > lag) {
      return new Step(this, Outcome.MISSING_BORE);
    }
    return new Step(new Trial(partsLeft, true, owed, lag, evidence, met, by), Outcome.GOES_ON);
  }

  /**
   * The cell's counter moved on by one part.
   *
   * @return the trial after it
   */
  public Step partFinished() {
    if (owed > lag) {
      return new Step(this, Outcome.MISSING_BORE);
    }
    if (partsLeft == 0) {
      return new Step(this, Outcome.USED_UP);
    }
    return new Step(
        new Trial(partsLeft - 1, false, owed + 1, lag, evidence, met, by), Outcome.GOES_ON);
  }

  /**
   * A part gave a bore that is within.
   *
   * @return the trial after it
   */
  public Step boreWithin() {
    Trial next =
        new Trial(partsLeft, begun, Math.max(0, owed - 1), lag, evidence.bore(true), met, by);
    if (next.evidence.complete()) {
      return new Step(next, Outcome.EVIDENCE_COMPLETE);
    }
    boolean usedUp = next.partsLeft == 0 && next.owed == 0;
    return new Step(next, usedUp ? Outcome.USED_UP : Outcome.GOES_ON);
  }

  /**
   * A part gave a bore that is not within: undersize, oversize, undecided or withheld.
   *
   * @return the trial after it
   */
  public Step boreOther() {
    return new Step(this, Outcome.BAD_BORE);
  }

  /**
   * Remembers that the evidence is there.
   *
   * @return the trial, met
   */
  Trial withEvidenceMet() {
    return new Trial(partsLeft, begun, owed, lag, evidence, true, by);
  }
}
