package org.borewarden.rules.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class BudgetTest {
  private static final double MANY = Double.POSITIVE_INFINITY;

  /**
   * The end gauge of JCGM 100:2008 H.1, 50 mm; from memory: u_c 32 nm, 16 effective degrees of
   * freedom, k 2.92 and U 93 nm at 99 %.
   */
  @Test
  void theEndGaugeOfTheGuide() {
    Budget difference =
        new Budget(
            List.of(
                typeA("repeated observations", 5_800, 24),
                typeB("random effects of the comparator", 3_900, 5),
                typeB("systematic effects of the comparator", 6_700, 8)));
    assertThat(difference.picometres()).isCloseTo(9_700, within(60.0));
    assertThat(difference.freedom()).isCloseTo(25.6, within(0.3));
    double length = 50e9;
    Component expansion =
        Component.other(
                "difference in expansion", Shape.RECTANGULAR, 1e-6 / Math.sqrt(3), length * 0.1)
            .withFreedom(50);
    assertThat(expansion.picometres()).isCloseTo(2_900, within(50.0));
    Component warmth =
        Component.other(
                "difference in temperature",
                Shape.RECTANGULAR,
                0.05 / Math.sqrt(3),
                -length * 11.5e-6)
            .withFreedom(2);
    assertThat(warmth.picometres()).isCloseTo(16_600, within(50.0));
    Budget whole =
        new Budget(
            List.of(
                Component.certificate("standard", new Length(75_000), 3).withFreedom(18),
                typeB("difference", difference.picometres(), difference.freedom()),
                expansion,
                warmth));
    assertThat(whole.picometres()).isCloseTo(32_000, within(500.0));
    assertThat(Math.floor(whole.freedom())).isEqualTo(16);
    Uncertainty stated = Uncertainty.of(whole, new Coverage.Probability(0.99));
    assertThat(stated.k()).isCloseTo(2.92, within(0.005));
    // The guide multiplies u_c after rounding it to 32 nm.
    assertThat(stated.expanded().picometres()).isCloseTo(93_000, within(1_000L));
  }

  /** The gauge block of EA-4/02, S4; from memory: u 36.4 nm, U 73 nm with k = 2. */
  @Test
  void theGaugeBlockOfTheCalibrationGuide() {
    Budget budget =
        new Budget(
            List.of(
                Component.certificate("standard", new Length(30_000), 2),
                Component.within("drift", Shape.RECTANGULAR, new Length(30_000)),
                typeA("observed difference", 12_000 / Math.sqrt(5), MANY),
                Component.within("comparator", Shape.RECTANGULAR, new Length(32_000)),
                Component.other(
                    "difference in temperature",
                    Shape.RECTANGULAR,
                    0.05 / Math.sqrt(3),
                    -50e9 * 11.5e-6),
                typeB("expansion by temperature", 11_800, MANY),
                Component.within("variation in length", Shape.RECTANGULAR, new Length(6_700))));
    assertThat(budget.picometres()).isCloseTo(36_400, within(50.0));
    assertThat(budget.freedom()).isInfinite();
    assertThat(Uncertainty.of(budget, Coverage.USUAL).expanded().picometres())
        .isCloseTo(73_000, within(500L));
  }

  /** Half widths of 6 um; the divisors of JCGM 100:2008 4.3, from memory, and of the arcsine. */
  @ParameterizedTest
  @CsvSource({"RECTANGULAR,3.4641016", "TRIANGULAR,2.4494897", "U_SHAPED,4.2426407"})
  void aBoundBecomesAStandardUncertaintyByItsShape(Shape shape, double micrometres) {
    assertThat(Component.within("bound", shape, Lengths.of("6 um")).picometres() / 1e6)
        .isCloseTo(micrometres, within(5e-8));
  }

  /** By their definition: the root of the mean square of a density, summed plainly. */
  @ParameterizedTest
  @CsvSource({"RECTANGULAR", "TRIANGULAR", "U_SHAPED"})
  void theShapesAreTheirDensities(Shape shape) {
    int steps = 200_000;
    double sum = 0;
    for (int i = 0; i < steps; i++) {
      double p = (i + 0.5) / steps;
      double x =
          switch (shape) {
            case TRIANGULAR -> p < 0.5 ? Math.sqrt(2 * p) - 1 : 1 - Math.sqrt(2 * (1 - p));
            case U_SHAPED -> Math.sin(Math.PI * (p - 0.5));
            default -> 2 * p - 1;
          };
      sum += x * x;
    }
    assertThat(Math.sqrt(sum / steps)).isCloseTo(shape.standard(1), within(1e-5));
  }

  @Test
  void ofResolutionAndRepeatabilityOnlyTheLargerCounts() {
    Component coarse = Component.resolution("display", Lengths.of("1 um"));
    assertThat(coarse.picometres()).isCloseTo(1e6 / Math.sqrt(12), within(1e-6));
    Component spread = Component.repeatability("spread", Lengths.of("0.6 um"), 10, 1);
    Component narrow = Component.repeatability("narrow", Lengths.of("0.2 um"), 10, 1);
    Budget wide = new Budget(List.of(coarse, spread));
    assertThat(wide.counts(coarse)).isFalse();
    assertThat(wide.picometres()).isEqualTo(0.6e6);
    assertThat(wide.share(coarse)).isZero();
    assertThat(wide.share(spread)).isEqualTo(1);
    assertThat(wide.freedom()).isCloseTo(9, within(1e-12));
    Budget steps = new Budget(List.of(coarse, narrow));
    assertThat(steps.counts(narrow)).isFalse();
    assertThat(steps.picometres()).isEqualTo(coarse.picometres());
    assertThat(steps.freedom()).isInfinite();
  }

  /** Metrology: u^2 = u_sys^2 + u_rand^2 / n, for a mean. */
  @Test
  void aMeanOfFourHalvesTheRandomPartOnly() {
    Component ring = Component.certificate("ring", Lengths.of("0.8 um"), 2);
    Component mean = Component.repeatability("mean of 4", Lengths.of("1.2 um"), 20, 4);
    assertThat(mean.freedom()).isEqualTo(19);
    assertThat(new Budget(List.of(ring, mean)).picometres())
        .isCloseTo(Math.hypot(0.4e6, 0.6e6), within(1e-6));
  }

  @Test
  void kComesFromStudentWhereDegreesAreFew() {
    assertThat(Coverage.USUAL.factor(3)).isEqualTo(2);
    Coverage p95 = new Coverage.Probability(0.95);
    assertThat(p95.factor(MANY)).isCloseTo(1.959963984540054, within(1e-12));
    // Any table of Student's t; degrees are rounded down.
    assertThat(p95.factor(10.9)).isCloseTo(2.228, within(5e-4));
    assertThat(p95.factor(0.4)).isCloseTo(12.706, within(5e-4));
  }

  @Test
  void anUncertaintyIsRoundedUpToThePicometre() {
    Uncertainty stated = Uncertainty.expanded(new Length(3_000_001), 2);
    assertThat(stated.standard()).isEqualTo(new Length(1_500_001));
    assertThat(stated.expanded()).isEqualTo(new Length(3_000_001));
    Uncertainty beside = Uncertainty.standard(new Length(3_000)).beside(4_000);
    assertThat(beside.standard()).isEqualTo(new Length(5_000));
    assertThat(beside.expanded()).isEqualTo(new Length(10_000));
    assertThat(stated.beside(0)).isEqualTo(stated);
  }

  @Test
  void whatCannotBeCombinedIsRefused() {
    Component none = Component.within("none", Shape.RECTANGULAR, Length.ZERO);
    Component step = Component.resolution("step", new Length(1));
    refused(() -> new Budget(List.of()), "above 0");
    refused(() -> new Budget(List.of(none)), "above 0");
    refused(() -> new Budget(List.of(step, step)), "one resolution");
    refused(() -> Component.repeatability("s", new Length(1), 1, 1), "2 readings or more");
    refused(() -> Component.repeatability("s", new Length(1), 2, 0), "mean of 1 or more");
    refused(() -> Component.other("x", Shape.NORMAL, Double.NaN, 1), "found NaN");
    refused(() -> Component.other("x", Shape.NORMAL, -1, 1), "found -1.0");
    refused(() -> none.withFreedom(0), "degrees of freedom above 0");
    refused(() -> new Coverage.Factor(0.9), "found 0.9");
    refused(() -> new Coverage.Probability(1), "found 1.0");
    refused(() -> Uncertainty.standard(Length.ZERO), "above 0");
  }

  private static void refused(
      org.assertj.core.api.ThrowableAssert.ThrowingCallable call, String why) {
    assertThatIllegalArgumentException().isThrownBy(call).withMessageContaining(why);
  }

  private static Component typeB(String name, double picometres, double freedom) {
    return Component.other(name, Shape.NORMAL, picometres, 1).withFreedom(freedom);
  }

  private static Component typeA(String name, double picometres, double freedom) {
    return new Component(
        name,
        Component.Kind.REPEATABILITY,
        Component.Evaluation.A,
        Shape.NORMAL,
        picometres,
        1,
        freedom);
  }
}
