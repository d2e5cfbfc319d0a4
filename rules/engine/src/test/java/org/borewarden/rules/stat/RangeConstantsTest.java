package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.borewarden.rules.Resource;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class RangeConstantsTest {
  /**
   * The tables of ASTM E2587 and of Montgomery, Introduction to Statistical Quality Control, to
   * half of their last place.
   */
  @Test
  void thePrintedTables() {
    List<String> lines = Resource.lines(getClass(), "constants_published.csv");
    assertThat(lines.get(0)).startsWith("n,d2,d3,");
    assertThat(lines).hasSize(25);
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",", -1);
      RangeConstants found = RangeConstants.of(Integer.parseInt(cells[0]));
      assertThat(found.d2()).as(line).isCloseTo(Double.parseDouble(cells[1]), within(5.1e-4));
      assertThat(found.d3()).as(line).isCloseTo(Double.parseDouble(cells[2]), within(5.1e-5));
    }
  }

  /** The same constants to nine decimals, integrated independently. */
  @Test
  void theExactValues() {
    List<String> lines = Resource.lines(getClass(), "constants_exact.csv");
    assertThat(lines).hasSize(25);
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",", -1);
      RangeConstants found = RangeConstants.of(Integer.parseInt(cells[0]));
      assertThat(found.d2()).as(line).isCloseTo(Double.parseDouble(cells[1]), within(1e-9));
      assertThat(found.d3()).as(line).isCloseTo(Double.parseDouble(cells[2]), within(1e-9));
      assertThat(found.c4()).as(line).isCloseTo(Double.parseDouble(cells[3]), within(1e-9));
    }
  }

  /** What the printed tables derive from d2 and d3, also where these are not rounded exactly. */
  @Test
  void thePrintedEntriesThatAreNotRoundedExactlyFollowFromTheExactValues() {
    List<String> lines = Resource.lines(getClass(), "constants_deviations.csv");
    assertThat(lines).hasSize(25);
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",", -1);
      RangeConstants found = RangeConstants.of(Integer.parseInt(cells[0]));
      double value =
          switch (cells[1]) {
            case "D1" -> found.d2() - 3 * found.d3();
            case "D2" -> found.d2() + 3 * found.d3();
            case "D3" -> 1 - 3 * found.d3() / found.d2();
            case "D4" -> 1 + 3 * found.d3() / found.d2();
            case "E2" -> 3 / found.d2();
            default -> throw new AssertionError("no constant " + cells[1]);
          };
      assertThat(value).as(line).isCloseTo(Double.parseDouble(cells[3]), within(1e-8));
      assertThat(value).as(line).isCloseTo(Double.parseDouble(cells[2]), within(1.7e-3));
    }
  }

  /** By their definitions, with another method than the one that made the table: a plain sum. */
  @ParameterizedTest
  @ValueSource(ints = {2, 3, 5, 10, 25})
  void theirDefinitions(int n) {
    RangeConstants constants = RangeConstants.of(n);
    double step = 0.02;
    double[] below = new double[801];
    for (int i = 0; i < below.length; i++) {
      below[i] = 1 - Quantiles.normalTail(-8 + i * step);
    }
    double mean = 0;
    double square = 0;
    for (int i = 0; i < below.length; i++) {
      double low = Math.pow(1 - below[i], n);
      mean += step * (1 - Math.pow(below[i], n) - low);
      for (int j = i; j < below.length; j++) {
        double inside = 1 - Math.pow(below[j], n) - low + Math.pow(below[j] - below[i], n);
        square += step * step * (i == j ? 1 : 2) * inside;
      }
    }
    assertThat(mean).isCloseTo(constants.d2(), within(1e-8));
    assertThat(Math.sqrt(square - mean * mean)).isCloseTo(constants.d3(), within(2e-4));
  }

  @Test
  void aSampleOfOneHasNoRange() {
    assertThatThrownBy(() -> RangeConstants.of(1))
        .hasMessage("expected a sample of 2 to 25 values, found 1");
    assertThatThrownBy(() -> RangeConstants.of(26)).hasMessageContaining("found 26");
  }
}
