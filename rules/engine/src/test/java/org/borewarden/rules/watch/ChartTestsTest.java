package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.stream.Stream;
import org.borewarden.rules.Resource;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.stat.RangeConstants;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** The tests of a chart against published series. */
class ChartTestsTest {
  private static final Map<String, ChartTest> RULES =
      Map.ofEntries(
          Map.entry("WE1", new ChartTest.Beyond(1, 1, 3)),
          Map.entry("WE2", new ChartTest.Beyond(2, 3, 2)),
          Map.entry("WE3", new ChartTest.Beyond(4, 5, 1)),
          Map.entry("WE4", new ChartTest.Beyond(8, 8, 0)),
          Map.entry("N1", new ChartTest.Beyond(1, 1, 3)),
          Map.entry("N2", new ChartTest.Beyond(9, 9, 0)),
          Map.entry("N3", new ChartTest.Trend(6)),
          Map.entry("N4", new ChartTest.Alternating(14)),
          Map.entry("N5", new ChartTest.Beyond(2, 3, 2)),
          Map.entry("N6", new ChartTest.Beyond(4, 5, 1)),
          Map.entry("N7", new ChartTest.NearCentre(15, 1)),
          Map.entry("N8", new ChartTest.BothSides(8, 1)));

  static Stream<String> series() {
    return Resource.lines(ChartTestsTest.class, "run-rules.csv").stream();
  }

  @ParameterizedTest
  @MethodSource("series")
  void aRunRuleSignalsWhereThePublishedSeriesSays(String line) {
    String[] parts = line.split(";", -1);
    double[] scores = numbers(parts[1]);
    int[] expected = Arrays.stream(numbers(parts[2])).mapToInt(number -> (int) number).toArray();
    assertThat(signals(rule(parts[0]), scores)).as(line).containsExactly(expected);
  }

  private static ChartTest rule(String name) {
    return Objects.requireNonNull(RULES.get(name), name);
  }

  private static double[] numbers(String words) {
    return words.isBlank()
        ? new double[0]
        : Arrays.stream(words.strip().split("\\s+", -1)).mapToDouble(Double::parseDouble).toArray();
  }

  private static ChartMemory next(ChartTest test, ChartMemory memory, double w) {
    return ChartTests.next(test, memory, w, 0, true);
  }

  private static int[] signals(ChartTest test, double[] scores) {
    List<Integer> found = new ArrayList<>();
    ChartMemory memory = ChartTests.start(test);
    for (int i = 0; i < scores.length; i++) {
      memory = ChartTests.next(test, memory, scores[i], i, true);
      if (ChartTests.signal(test, memory) != 0) {
        found.add(i + 1);
      }
    }
    return found.stream().mapToInt(n -> n).toArray();
  }

  /**
   * Means of five inside diameters of piston rings, limits from the first 25 samples. Data:
   * Montgomery, Introduction to Statistical Quality Control, as shipped with the R package qcc; the
   * signals were computed from these limits with exact d2, not published.
   */
  @ParameterizedTest
  @MethodSource("pistonRings")
  void theMeansOfPistonRingsSignalWhereTheyRise(String rule, int[] expected) {
    List<double[]> samples =
        Resource.lines(getClass(), "pistonrings.csv").stream()
            .skip(1)
            .map(line -> numbers(line.replace(',', ' ')))
            .map(row -> Arrays.copyOfRange(row, 2, row.length))
            .toList();
    double centre =
        samples.subList(0, 25).stream()
            .mapToDouble(sample -> Arrays.stream(sample).average().orElseThrow())
            .average()
            .orElseThrow();
    double range =
        samples.subList(0, 25).stream()
            .mapToDouble(
                sample ->
                    Arrays.stream(sample).max().orElseThrow()
                        - Arrays.stream(sample).min().orElseThrow())
            .average()
            .orElseThrow();
    double sigma = range / RangeConstants.of(5).d2() / Math.sqrt(5);
    double[] scores =
        samples.stream()
            .mapToDouble(s -> (Arrays.stream(s).average().orElseThrow() - centre) / sigma)
            .toArray();
    assertThat(signals(rule(rule), scores)).containsExactly(expected);
  }

  static Stream<Arguments> pistonRings() {
    return Stream.of(
        Arguments.of("N1", new int[] {37, 38, 39}),
        Arguments.of("N2", new int[] {}),
        Arguments.of("N3", new int[] {}),
        Arguments.of("N4", new int[] {}),
        Arguments.of("N5", new int[] {35, 37, 38, 39, 40}),
        Arguments.of("N6", new int[] {35, 38, 39, 40}),
        Arguments.of("N7", new int[] {}),
        Arguments.of("N8", new int[] {}));
  }

  /** Every cell of NIST/SEMATECH e-Handbook 6.3.2.3: target 325, sigma .635, k .3175, h 4.1959. */
  @Test
  void theCumulativeSumHasTheCellsOfTheHandbook() {
    double sigma = 0.635;
    ChartTest test = new ChartTest.Cusum(0.3175 / sigma, 4.1959 / sigma, 0);
    ChartMemory memory = ChartTests.start(test);
    int cells = 0;
    for (String line : Resource.lines(getClass(), "nist_cusum.csv").subList(1, 21)) {
      String[] cell = line.split(",", -1);
      memory = next(test, memory, (Double.parseDouble(cell[1]) - 325) / sigma);
      ChartMemory.Sums sums = (ChartMemory.Sums) memory;
      assertThat(sums.upper() * sigma).isCloseTo(Double.parseDouble(cell[3]), within(1e-9));
      assertThat(sums.lower() * sigma).isCloseTo(Double.parseDouble(cell[4]), within(1e-9));
      // printed with two decimals, 0.0075 as 0.01
      assertThat(sums.upper() * sigma).isCloseTo(Double.parseDouble(cell[6]), within(0.0051));
      assertThat(sums.lower() * sigma).isCloseTo(Double.parseDouble(cell[7]), within(0.0051));
      int group = Integer.parseInt(cell[0]);
      assertThat(ChartTests.signal(test, memory))
          .as("group %d", group)
          .isEqualTo(group < 14 ? 0 : 1);
      cells++;
    }
    assertThat(cells).isEqualTo(20);
  }

  /**
   * NIST/SEMATECH e-Handbook 6.3.2.4: start 50, s 2.0539, lambda .3, L 3; the limits of the start
   * computed.
   */
  @Test
  void theMovingAverageHasTheCellsOfTheHandbook() {
    double s = 2.0539;
    ChartTest.Ewma exact = new ChartTest.Ewma(0.3, 3, false);
    ChartMemory memory = ChartTests.start(exact);
    int count = 0;
    for (String line : Resource.lines(getClass(), "nist_ewma.csv").subList(1, 21)) {
      String[] cell = line.split(",", -1);
      memory = next(exact, memory, (Double.parseDouble(cell[1]) - 50) / s);
      double average = 50 + ((ChartMemory.Average) memory).value() * s;
      assertThat(average).isCloseTo(Double.parseDouble(cell[2]), within(0.0051));
      assertThat(average).isCloseTo(Double.parseDouble(cell[3]), within(1e-9));
      count++;
      double width = ChartTests.limit(exact, count) * s;
      assertThat(50 - width).isCloseTo(Double.parseDouble(cell[4]), within(1e-6));
      assertThat(50 + width).isCloseTo(Double.parseDouble(cell[5]), within(1e-6));
      assertThat(ChartTests.signal(exact, memory)).isZero();
    }
    assertThat(count).isEqualTo(20);
    double settled = ChartTests.limit(new ChartTest.Ewma(0.3, 3, true), 1) * s;
    assertThat(50 + settled).isCloseTo(52.5884, within(1e-4));
  }

  /**
   * Sums and average of the 40 sample means of Montgomery's piston rings (data as shipped with the
   * R package qcc; these columns were computed from them elsewhere, nine digits).
   */
  @Test
  void sumsAndAverageOfThePistonRingsAreMetInEveryCell() {
    ChartTest.Cusum cusum = new ChartTest.Cusum(0.5, 5, 0);
    ChartTest.Ewma ewma = new ChartTest.Ewma(0.2, 2.7, false);
    ChartMemory sums = ChartTests.start(cusum);
    ChartMemory average = ChartTests.start(ewma);
    double centre = 74.001176;
    double error = 0.009785337608595531 / Math.sqrt(5);
    List<String> lines = Resource.lines(getClass(), "pistonrings_derived.csv");
    assertThat(lines).hasSize(41);
    for (int i = 1; i < lines.size(); i++) {
      double[] cells =
          Arrays.stream(lines.get(i).split(",", -1)).mapToDouble(Double::parseDouble).toArray();
      double z = (cells[1] - centre) / error;
      assertThat(z).isCloseTo(cells[4], within(1e-8));
      sums = next(cusum, sums, z);
      average = next(ewma, average, z);
      assertThat(((ChartMemory.Sums) sums).upper()).isCloseTo(cells[5], within(1e-7));
      assertThat(((ChartMemory.Sums) sums).lower()).isCloseTo(cells[6], within(1e-7));
      double value = centre + error * ((ChartMemory.Average) average).value();
      assertThat(value).isCloseTo(cells[7], within(1e-9));
      assertThat(ChartTests.limit(ewma, i) * error).isCloseTo(cells[8], within(1e-9));
    }
  }
}
