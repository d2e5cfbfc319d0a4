package org.borewarden.rules.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Random;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.Resource;
import org.borewarden.rules.measure.Length;
import org.junit.jupiter.api.Test;

class ExpansionTest {
  private static final double STEEL = 11.5e-6;
  private static final double ALUMINIUM = 23.6e-6;
  private static final Length BORE = Lengths.of("62 mm");

  /** 62 mm of aluminium at 31 degC, the ring at 22: half of an H7. Computed independently. */
  @Test
  void anAluminiumHousingInAWarmShop() {
    Expansion expansion = of(ALUMINIUM, STEEL, STEEL);
    Length correction =
        expansion.correction(BORE, new Temperatures(31, 22, OptionalDouble.empty()));
    assertThat(correction).isEqualTo(new Length(-14_669_200));
    assertThat(correction.picometres() / 1e6).isCloseTo(-14.67, within(0.005));
  }

  /** The ring or gauge at t_gauge, a part at t_work: the worked examples of the reference file. */
  @Test
  void theWorkedExamplesOfDifferentialExpansion() {
    List<String> rows = Resource.lines(getClass(), "differential_expansion.csv");
    assertThat(rows).hasSize(7);
    for (String row : rows.subList(1, rows.size())) {
      String[] cell = row.split(",", -1);
      Expansion expansion = of(Double.parseDouble(cell[2]), Double.parseDouble(cell[3]), STEEL);
      Temperatures at =
          new Temperatures(
              Double.parseDouble(cell[4]), Double.parseDouble(cell[5]), OptionalDouble.empty());
      Length correction = expansion.correction(Lengths.of(cell[0] + " mm"), at);
      assertThat(-correction.picometres() / 1e6)
          .as(row)
          .isCloseTo(Double.parseDouble(cell[6]), within(1e-6));
    }
  }

  /** ISO 22514-7, as its worked example is told: 100 mm, 1.5 K, 3 K above 20, 1 ppm/K. */
  @Test
  void theTemperatureTermsOfAMeasurementSystem() {
    Length length = Lengths.of("100 mm");
    Expansion.Correction differenceOnly = correction(0, 1.5);
    Expansion exact = new Expansion(STEEL, STEEL, 0, 0, 20, 20, 0, Optional.of(differenceOnly));
    Temperatures at = new Temperatures(23, 23, OptionalDouble.of(0));
    assertThat(exact.corrected(length, at, differenceOnly) / 1e6)
        .isCloseTo(0.9959292143521045, within(1e-9));
    Expansion.Correction perfect = correction(0, 0);
    Expansion vague = new Expansion(STEEL, STEEL, 0, 1e-6, 20, 20, 0, Optional.of(perfect));
    assertThat(vague.corrected(length, at, perfect) / 1e6)
        .isCloseTo(0.17320508075688776, within(1e-12));
  }

  @Test
  void theGaugeBodyCountsSinceMastering() {
    Expansion expansion = of(STEEL, STEEL, 10e-6);
    Temperatures same = new Temperatures(25, 25, OptionalDouble.of(0));
    assertThat(expansion.correction(BORE, same)).isEqualTo(Length.ZERO);
    Temperatures warmer = new Temperatures(25, 25, OptionalDouble.of(2));
    assertThat(expansion.correction(BORE, warmer)).isEqualTo(new Length(1_240_000));
  }

  /** Steel on steel: the thermometer's own error cancels; counted twice it would be 17 um. */
  @Test
  void theErrorOfOneThermometerIsCommonToAllTemperatures() {
    Expansion.Correction known = correction(2, 0.1);
    Expansion steel = new Expansion(STEEL, STEEL, 0, 0, 18, 30, 0, Optional.of(known));
    Temperatures at = new Temperatures(28, 22, OptionalDouble.of(0));
    double difference = 62e9 * STEEL * 0.1 / Math.sqrt(3);
    assertThat(steel.corrected(BORE, at, known)).isCloseTo(difference, within(1.0));
    Expansion aluminium = new Expansion(ALUMINIUM, STEEL, 0, 0, 18, 30, 0, Optional.of(known));
    double common = 62e9 * (ALUMINIUM - STEEL) * 2 / Math.sqrt(3);
    assertThat(aluminium.corrected(BORE, at, known))
        .isCloseTo(Math.hypot(difference, common), within(1.0));
  }

  /** The formula against 200 000 draws of what it is the first order of; seeded. */
  @Test
  void theUncertaintyOfTheCorrectionIsThatOfDraws() {
    long seed = 20_261_126;
    Random random = new Random(seed);
    Expansion.Correction known = correction(0.5, 0.3);
    Expansion expansion =
        new Expansion(ALUMINIUM, STEEL, STEEL, 1e-6, 18, 32, 2, Optional.of(known));
    Temperatures at = new Temperatures(31, 22, OptionalDouble.of(3));
    double sum = 0;
    double squares = 0;
    int draws = 200_000;
    for (int i = 0; i < draws; i++) {
      double ring = STEEL + bound(random, 1e-6);
      double part = ring + (ALUMINIUM - STEEL) + bound(random, 1e-6);
      double gauge = STEEL + bound(random, 1e-6);
      double partAt = 31 + bound(random, 0.5);
      double ringAt = partAt - (9 + bound(random, 0.3));
      double since = 3 + bound(random, 0.3);
      double size = 62e9 * (ring * (ringAt - 20) - part * (partAt - 20) + gauge * since);
      sum += size;
      squares += size * size;
    }
    double spread = Math.sqrt(squares / draws - (sum / draws) * (sum / draws));
    assertThat(expansion.corrected(BORE, at, known))
        .as("seed %s", seed)
        .isCloseTo(spread, within(0.01 * spread));
  }

  @Test
  void withoutTemperaturesTheWholeRangeGoesIntoTheUncertainty() {
    Expansion steel = new Expansion(STEEL, STEEL, STEEL, 0, 18, 30, 2, Optional.empty());
    // 62 mm * 11.5 ppm/K * 2 K, for the part and once more for the gauge body.
    assertThat(steel.uncorrected(BORE)).isCloseTo(2 * 1.426e6 / Math.sqrt(3), within(1.0));
    Expansion aluminium = new Expansion(ALUMINIUM, STEEL, 0, 0, 18, 30, 0, Optional.empty());
    assertThat(aluminium.uncorrected(BORE))
        .isCloseTo(62e9 * 12.1e-6 * 10 / Math.sqrt(3), within(1.0));
    Expansion laboratory =
        new Expansion(ALUMINIUM, STEEL, STEEL, 1e-6, 20, 20, 0, Optional.empty());
    assertThat(laboratory.uncorrected(BORE)).isZero();
  }

  /** Where the gauge body's temperature is not known, its term stays in the uncertainty. */
  @Test
  void anUnknownGaugeTemperatureIsNotTakenForNone() {
    Expansion.Correction known = correction(0, 0);
    Expansion expansion = new Expansion(STEEL, STEEL, STEEL, 0, 18, 30, 2, Optional.of(known));
    Temperatures unknown = new Temperatures(25, 25, OptionalDouble.empty());
    assertThat(expansion.corrected(BORE, unknown, known))
        .isCloseTo(1.426e6 / Math.sqrt(3), within(1.0));
    Temperatures seen = new Temperatures(25, 25, OptionalDouble.of(0));
    assertThat(expansion.corrected(BORE, seen, known)).isZero();
  }

  @Test
  void whatIsNoTemperatureIsRefused() {
    assertThatIllegalArgumentException().isThrownBy(() -> of(-1e-6, STEEL, STEEL));
    assertThatIllegalArgumentException().isThrownBy(() -> of(Double.NaN, STEEL, STEEL));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> new Expansion(0, 0, 0, 0, 21, 20, 0, Optional.empty()))
        .withMessage("expected a range, found 21.0 to 20.0");
    assertThatIllegalArgumentException().isThrownBy(() -> correction(-1, 0));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> new Expansion.Correction(0, 0, Duration.ZERO));
  }

  private static double bound(Random random, double a) {
    return a * (2 * random.nextDouble() - 1);
  }

  private static Expansion of(double part, double ring, double gauge) {
    return new Expansion(part, ring, gauge, 0, 18, 32, 0, Optional.empty());
  }

  private static Expansion.Correction correction(double thermometer, double difference) {
    return new Expansion.Correction(thermometer, difference, Duration.ofMinutes(10));
  }
}
