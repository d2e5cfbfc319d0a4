package org.borewarden.rules.part;

import java.time.Duration;
import org.borewarden.rules.measure.Length;

/** What is asked of a reading before it is judged. Each one is off until the rules name it. */
public sealed interface BeliefCheck {
  /** What becomes of a reading that fails. */
  enum Outcome {
    /** The verdict stands and carries a caution. */
    CAUTION,
    /** The bore is withheld: the value is kept and shown, and is no evidence. */
    WITHHOLD,
    /** The reading is kept and counts nowhere, as if it had not come. */
    REJECT
  }

  /**
   * What becomes of a reading that fails.
   *
   * @return the outcome that the rules name
   */
  Outcome then();

  /**
   * The size lies within what the gauge's head reads.
   *
   * @param then what becomes of another
   */
  record HeadRange(Outcome then) implements BeliefCheck {}

  /**
   * The size lies near the feature's nominal.
   *
   * @param within the farthest either way
   * @param then what becomes of another
   */
  record Window(Length within, Outcome then) implements BeliefCheck {}

  /**
   * The size is not about 25.4 times, or a 25.4th of, what the feature has: somebody switched the
   * gauge to the other unit.
   *
   * @param then what becomes of such
   */
  record OtherUnit(Outcome then) implements BeliefCheck {}

  /**
   * The gauge shows as many decimals as it was set up to.
   *
   * @param decimals in the unit that it shows
   * @param then what becomes of a reading with more or fewer
   */
  record Digits(int decimals, Outcome then) implements BeliefCheck {}

  /**
   * The same reading does not come twice: a key that bounces sends it again.
   *
   * @param within the time in which the same one is the same press
   * @param then what becomes of the second
   */
  record Bounce(Duration within, Outcome then) implements BeliefCheck {}
}
