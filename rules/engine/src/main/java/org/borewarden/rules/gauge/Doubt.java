package org.borewarden.rules.gauge;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.BeliefCheck;
import org.borewarden.rules.part.BeliefCheck.Outcome;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.reading.Reading;

/**
 * Why a reading may not be believed as it stands.
 *
 * @param why a key
 * @param then what becomes of the reading
 * @param words what was expected and found
 */
public record Doubt(String why, Outcome then, String words) {
  /** The key of a reading that came twice. */
  public static final String BOUNCE = "bounce";

  /** A value that a factor of 25.4 brings so near to the nominal is taken for the other unit. */
  private static final long NEAR_ONE_IN = 20;

  private static final BigDecimal INCH = new BigDecimal("25.4");

  /**
   * Looks at one reading by itself.
   *
   * @param gauge what the rules say of its gauge
   * @param feature what it is taken to measure
   * @param reading the reading as the gauge gave it
   * @return the gravest doubt, of equals the first that the rules name; empty where all is well
   */
  public static Optional<Doubt> of(GaugeRules gauge, Feature feature, Reading reading) {
    List<Doubt> doubts =
        gauge.believe().stream().flatMap(check -> of(check, gauge, feature, reading)).toList();
    return doubts.stream()
        .max(Comparator.comparing(Doubt::then))
        .map(gravest -> first(doubts, gravest));
  }

  private static Doubt first(List<Doubt> doubts, Doubt gravest) {
    return doubts.stream().filter(d -> d.then() == gravest.then()).findFirst().orElse(gravest);
  }

  private static Stream<Doubt> of(
      BeliefCheck check, GaugeRules gauge, Feature feature, Reading reading) {
    Length value = reading.value();
    if (check instanceof BeliefCheck.HeadRange range) {
      boolean below = gauge.from().filter(value::isBelow).isPresent();
      boolean above = gauge.to().filter(value::isAbove).isPresent();
      return below || above
          ? Stream.of(
              new Doubt(
                  "outside-head-range",
                  range.then(),
                  "expected a size within the head's range, found " + shown(reading)))
          : Stream.empty();
    }
    if (check instanceof BeliefCheck.Window window) {
      return distance(value, feature.nominal()).isAbove(window.within())
          ? Stream.of(
              new Doubt(
                  "implausible",
                  window.then(),
                  "expected a size within "
                      + millimetres(window.within())
                      + " of "
                      + millimetres(feature.nominal())
                      + ", found "
                      + shown(reading)))
          : Stream.empty();
    }
    if (check instanceof BeliefCheck.OtherUnit other) {
      return otherUnit(other, feature, reading).stream();
    }
    if (check instanceof BeliefCheck.Digits digits) {
      return reading.decimals() == digits.decimals()
          ? Stream.empty()
          : Stream.of(
              new Doubt(
                  "digits-changed",
                  digits.then(),
                  "expected "
                      + digits.decimals()
                      + " decimals, found "
                      + reading.decimals()
                      + " in "
                      + shown(reading)));
    }
    // A bounce is seen against the reading before it, not by itself.
    return Stream.empty();
  }

  private static Optional<Doubt> otherUnit(
      BeliefCheck.OtherUnit other, Feature feature, Reading reading) {
    BigDecimal value = BigDecimal.valueOf(reading.value().picometres());
    Length times = new Length(rounded(value.multiply(INCH)));
    Length part = new Length(rounded(value.divide(INCH, 0, RoundingMode.HALF_EVEN)));
    boolean near = isNear(feature, reading.value());
    if (near || (!isNear(feature, times) && !isNear(feature, part))) {
      return Optional.empty();
    }
    return Optional.of(
        new Doubt(
            "other-unit",
            other.then(),
            "expected about "
                + millimetres(feature.nominal())
                + ", found "
                + shown(reading)
                + (isNear(feature, times)
                    ? ", which looks like inches read as millimetres"
                    : ", which looks like millimetres read as inches")));
  }

  private static long rounded(BigDecimal picometres) {
    return picometres.setScale(0, RoundingMode.HALF_EVEN).longValueExact();
  }

  private static boolean isNear(Feature feature, Length value) {
    long farthest = feature.nominal().picometres() / NEAR_ONE_IN;
    return distance(value, feature.nominal()).picometres() <= farthest;
  }

  private static Length distance(Length a, Length b) {
    return new Length(Math.abs(a.minus(b).picometres()));
  }

  private static String millimetres(Length length) {
    return new BigDecimal(length.picometres()).movePointLeft(9).stripTrailingZeros().toPlainString()
        + " mm";
  }

  private static String shown(Reading reading) {
    Unit unit = reading.unit();
    return new BigDecimal(reading.value().picometres())
            .divide(
                BigDecimal.valueOf(unit.picometres()), reading.decimals(), RoundingMode.HALF_EVEN)
            .toPlainString()
        + " "
        + unit.symbol();
  }
}
