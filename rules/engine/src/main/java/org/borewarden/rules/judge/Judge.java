package org.borewarden.rules.judge;

import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;

/**
 * Says of a value whether it is within its limits. Comparisons are of whole picometres; a double is
 * used for the probability of conformity beside the verdict only.
 */
public final class Judge {
  /** The caution beside a verdict of simple acceptance. */
  public static final String NO_UNCERTAINTY_STATED = "no-uncertainty-stated";

  /** The caution beside a verdict whose rule can accept no value at all. */
  public static final String NO_READING_CAN_BE_ACCEPTED = "no-reading-can-be-accepted";

  private Judge() {}

  /**
   * Judges one value. For a bore each time; allocates the judgement only.
   *
   * @param acceptance limits and rule, worked out before
   * @param value the size that is judged
   * @return the verdict and how sure it is
   */
  public static Judgement judge(Acceptance acceptance, Length value) {
    return new Judgement(
        verdict(acceptance, value.picometres()),
        Optional.empty(),
        acceptance.limits().include(value),
        acceptance.statedConformity(value),
        acceptance.limits(),
        acceptance.zone(),
        acceptance.rule(),
        acceptance.cautions());
  }

  /**
   * Judges one value where the limits are used once.
   *
   * @param limits the limits of size
   * @param rule how the value is compared with them
   * @param value the size that is judged
   * @return the verdict and how sure it is
   */
  public static Judgement judge(Limits limits, DecisionRule rule, Length value) {
    return judge(Acceptance.of(limits, rule), value);
  }

  /**
   * The verdict alone; allocates nothing.
   *
   * @param acceptance limits and rule, worked out before
   * @param value the size that is judged, in picometres
   * @return the word
   */
  public static Verdict verdict(Acceptance acceptance, long value) {
    Thresholds at = acceptance.thresholds();
    Limits limits = acceptance.limits();
    if (limits.lower().isPresent() && value <= at.undersizeUpTo()) {
      return Verdict.UNDERSIZE;
    }
    if (limits.upper().isPresent() && value >= at.oversizeFrom()) {
      return Verdict.OVERSIZE;
    }
    boolean lowDoubt = limits.lower().isPresent() && value < at.acceptFrom();
    boolean highDoubt = limits.upper().isPresent() && value > at.acceptTo();
    if (lowDoubt && highDoubt) {
      return moreProbableDoubt(limits, value);
    }
    if (lowDoubt) {
      return Verdict.UNDECIDED_LOW;
    }
    return highDoubt ? Verdict.UNDECIDED_HIGH : Verdict.WITHIN;
  }

  /** The nearer limit is the likelier to be passed; in the middle it is the scrap side, high. */
  private static Verdict moreProbableDoubt(Limits limits, long value) {
    long aboveLower = Math.subtractExact(value, limits.lower().orElseThrow().picometres());
    long belowUpper = Math.subtractExact(limits.upper().orElseThrow().picometres(), value);
    return aboveLower < belowUpper ? Verdict.UNDECIDED_LOW : Verdict.UNDECIDED_HIGH;
  }
}
