package org.borewarden.rules.judge;

import java.math.BigDecimal;
import org.borewarden.rules.measure.Length;

/** What stands against a measurement before the first bore. */
public sealed interface Unready {
  /**
   * Whether {@code check} refuses the rules for it.
   *
   * @return false for what a person may accept
   */
  default boolean refuses() {
    return false;
  }

  /** Nothing is said of the uncertainty: no verdict can be proven. */
  record NoUncertainty() implements Unready {}

  /**
   * The display steps more coarsely than the tolerance allows.
   *
   * @param step r
   * @param most the coarsest that is asked for
   */
  record Coarse(Length step, Length most) implements Unready {}

  /**
   * The tolerance is small against the uncertainty.
   *
   * @param found T/(2U)
   * @param asked the least that is asked for
   */
  record SmallRatio(double found, BigDecimal asked) implements Unready {}

  /** With one limit there is no tolerance to compare with, and none is given. */
  record NoRatio() implements Unready {}

  /**
   * No reading at all can be accepted.
   *
   * @param refusal why
   */
  record NothingAccepted(Readiness.Refusal refusal) implements Unready {
    @Override
    public boolean refuses() {
      return true;
    }
  }

  /**
   * No reading can be accepted while no fresh temperature is known.
   *
   * @param refusal why
   */
  record NothingAcceptedUncorrected(Readiness.Refusal refusal) implements Unready {}

  /**
   * The ring was set at a size far from the one that it serves.
   *
   * @param distance between the ring and the nominal size
   * @param share of the gauge's range; NaN where that is not stated
   */
  record RingFar(Length distance, double share) implements Unready {}

  /**
   * A calibration is over.
   *
   * @param what the ring or the gauge, by its id
   * @param day the last day on which it counted
   */
  record Overdue(String what, String day) implements Unready {}

  /**
   * A ring check that passes lets more stand than the uncertainty holds.
   *
   * @param least E / sqrt(3), the least standard uncertainty
   * @param refuses whether even U is less
   */
  record UnderRingCheck(Length least, boolean refuses) implements Unready {}

  /**
   * The uncertainty itself rests on few readings.
   *
   * @param freedom the effective degrees of freedom
   */
  record FewDegrees(double freedom) implements Unready {}
}
