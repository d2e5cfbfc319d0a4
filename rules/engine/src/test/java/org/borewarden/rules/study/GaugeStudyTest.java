package org.borewarden.rules.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.assertj.core.data.Offset;
import org.borewarden.rules.Resource;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Against published studies of 10 parts, 3 persons and 3 trials. */
class GaugeStudyTest {
  /** AIAG Measurement Systems Analysis, 4th ed. (2010), chapter III, worked example. */
  private static final CrossedReadings AIAG = read("aiag_msa4_10x3x3.csv");

  /** ISO 22514-7:2012, annex A, table A.4; results in tables A.5 and A.6. */
  private static final CrossedReadings ISO = read("iso22514_7_A4_10x3x3.csv");

  @Test
  void theVariancesOfTheAutomotiveExample() {
    VarianceStudy study = VarianceStudy.of(AIAG);
    assertThat(study.parts()).isCloseTo(9.81799, half(5));
    assertThat(study.persons()).isCloseTo(1.58363, half(5));
    assertThat(study.interaction()).isCloseTo(0.01994, half(5));
    assertThat(study.error()).isCloseTo(0.04598, half(5));
    assertThat(study.ratio()).isCloseTo(0.434, half(3));
    assertThat(study.significance()).isCloseTo(0.974, half(3));
    assertThat(study.full().repeatability()).isCloseTo(0.214435, half(6));

    Spread spread = study.spread(VarianceStudy.USUAL_POOLING);
    assertThat(spread).isEqualTo(study.pooled());
    assertThat(spread.repeatability()).isCloseTo(0.199933, half(6));
    assertThat(spread.reproducibility()).isCloseTo(0.226838, half(6));
    assertThat(spread.gauge()).isCloseTo(0.302373, within(2e-6));
    assertThat(spread.parts()).isCloseTo(1.042327, half(6));
    assertThat(spread.total()).isCloseTo(1.085, half(3));
    assertThat(spread.gaugeShare()).isCloseTo(0.279, half(3));
    assertThat((int) spread.distinctClasses()).isEqualTo(4);
  }

  @Test
  void theVariancesOfTheStandardsExample() {
    VarianceStudy study = VarianceStudy.of(ISO);
    assertThat(study.parts()).isCloseTo(58.54, half(2));
    assertThat(study.persons()).isCloseTo(0.26, half(2));
    assertThat(study.interaction()).isCloseTo(0.0381, half(4));
    assertThat(study.error()).isCloseTo(0.032, half(3));
    assertThat(study.ratio()).isCloseTo(1.193, half(3));
    // The standard pools below its critical F of 1.778; significance 0.296 lies over 0.25 as well.
    Spread spread = study.spread(VarianceStudy.USUAL_POOLING);
    assertThat(spread.repeatability()).isCloseTo(0.1827, half(4));
    assertThat(spread.reproducibility()).isCloseTo(0.08683, within(1e-5));
    assertThat(spread.parts() * spread.parts()).isCloseTo(6.501, half(3));
  }

  /** A significant interaction stays apart. */
  @Test
  void personsWhoDifferOnSomePartsAreNotPooled() {
    List<List<List<Double>>> readings = new ArrayList<>();
    for (int person = 0; person < 2; person++) {
      List<List<Double>> parts = new ArrayList<>();
      for (int part = 0; part < 4; part++) {
        double crossed = person == part % 2 ? 1 : -1;
        parts.add(List.of(part * 10 + crossed, part * 10 + crossed + 0.1));
      }
      readings.add(parts);
    }
    VarianceStudy study = VarianceStudy.of(new CrossedReadings(readings));
    assertThat(study.significance()).isLessThan(1e-6);
    assertThat(study.spread(VarianceStudy.USUAL_POOLING).interaction())
        .isCloseTo(Math.sqrt((16.0 / 3 - 0.005) / 2), within(1e-9));
  }

  @Test
  void aGaugeWithoutScatterHasNoSpreadButThatOfTheParts() {
    List<List<Double>> parts = List.of(List.of(1.0, 1.0), List.of(3.0, 3.0));
    VarianceStudy study = VarianceStudy.of(new CrossedReadings(List.of(parts, parts)));
    assertThat(study.ratio()).isNaN();
    Spread spread = study.spread(VarianceStudy.USUAL_POOLING);
    assertThat(spread.gauge()).isZero();
    assertThat(spread.gaugeShare()).isZero();
    assertThat(spread.parts()).isCloseTo(Math.sqrt(2), within(1e-12));
  }

  /** The printed results of the average-and-range method are from memory. */
  @Test
  void theRangesOfTheAutomotiveExample() {
    RangeStudy study = RangeStudy.of(AIAG);
    assertThat(study.meanRange()).isCloseTo(0.3417, half(4));
    assertThat(study.personRange()).isCloseTo(0.4446, within(1e-4));
    assertThat(study.partRange()).isCloseTo(3.511, half(3));
    Spread spread = study.spread();
    assertThat(spread.repeatability()).isCloseTo(0.20188, within(3e-5));
    assertThat(spread.reproducibility()).isCloseTo(0.22963, within(6e-5));
    assertThat(spread.gauge()).isCloseTo(0.30575, within(4e-5));
    assertThat(spread.parts()).isCloseTo(1.10456, within(2e-4));
    assertThat(spread.total()).isCloseTo(1.1461, within(2e-4));
    assertThat(100 * spread.gaugeShare()).isCloseTo(26.68, within(0.01));
    assertThat((int) spread.distinctClasses()).isEqualTo(5);
  }

  /** Six spreads of 0.5 over a tolerance of 10: 30 %. */
  @Test
  void theSpreadOverTheTolerance() {
    assertThat(new Spread(0.3, 0.4, 0, 2).overTolerance(10)).isCloseTo(0.3, within(1e-12));
    assertThatThrownBy(() -> new Spread(0.3, 0.4, 0, 2).overTolerance(0))
        .hasMessage("expected a tolerance above 0, found 0.0");
  }

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 20260601})
  void neitherTheOrderNorTheOriginOfTheReadingsChangesTheSpreads(long seed) {
    Random random = new Random(seed);
    double origin = random.nextInt(1000);
    List<List<List<Double>>> other = new ArrayList<>();
    for (List<List<Double>> parts : AIAG.byPerson()) {
      List<List<Double>> moved = new ArrayList<>();
      for (List<Double> trials : parts) {
        List<Double> row = new ArrayList<>(trials.stream().map(y -> y + origin).toList());
        Collections.shuffle(row, random);
        moved.add(row);
      }
      other.add(moved);
    }
    Collections.shuffle(other, random);
    Spread expected = VarianceStudy.of(AIAG).pooled();
    Spread found = VarianceStudy.of(new CrossedReadings(other)).pooled();
    assertThat(found.gauge()).isCloseTo(expected.gauge(), within(1e-9));
    assertThat(found.parts()).isCloseTo(expected.parts(), within(1e-9));
  }

  @Test
  void aStudyWithGapsIsRefusedWhereTheyAre() {
    List<List<Double>> whole = List.of(List.of(1.0, 2.0), List.of(3.0, 4.0));
    assertThatThrownBy(() -> new CrossedReadings(List.of(whole)))
        .hasMessage("expected at least 2 persons, found 1");
    assertThatThrownBy(
            () -> new CrossedReadings(List.of(whole, List.of(List.of(1.0, 2.0), List.of(3.0)))))
        .hasMessage("expected 2 trials of person 1, part 1, found 1");
    assertThatThrownBy(
            () ->
                new CrossedReadings(
                    List.of(whole, List.of(List.of(1.0, 2.0), List.of(3.0, Double.NaN)))))
        .hasMessageContaining("expected finite readings of person 1, part 1");
  }

  private static Offset<Double> half(int decimals) {
    return within(0.501 * Math.pow(10, -decimals));
  }

  private static CrossedReadings read(String file) {
    Map<String, Map<Integer, List<Double>>> byPerson = new TreeMap<>();
    for (String line : Resource.lines(GaugeStudyTest.class, file)) {
      String[] cells = line.split(",", -1);
      if (!cells[0].equals("operator")) {
        byPerson
            .computeIfAbsent(cells[0], person -> new TreeMap<>())
            .computeIfAbsent(Integer.valueOf(cells[1]), part -> new ArrayList<>())
            .add(Double.valueOf(cells[3]));
      }
    }
    return new CrossedReadings(
        byPerson.values().stream().map(parts -> List.copyOf(parts.values())).toList());
  }
}
