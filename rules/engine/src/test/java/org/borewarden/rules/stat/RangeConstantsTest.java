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
  private static final List<String> HEAD =
      List.of("n", "d2", "d3", "c4", "A2", "A3", "B3", "B4", "B5", "B6", "D1", "D2", "D3", "D4");

  /**
   * The tables of ASTM E2587 and of Montgomery, Introduction to Statistical Quality Control. Their
   * last place is not always the rounded one: 1.6e-3 covers the worst of them, D4 at n = 19 by
   * 5e-4.
   */
  @Test
  void thePrintedTables() {
    List<String> lines = Resource.lines(getClass(), "constants_published.csv");
    assertThat(lines.get(0)).startsWith(String.join(",", HEAD));
    assertThat(lines).hasSize(25);
    for (String line : lines.subList(1, lines.size())) {
      String[] cells = line.split(",", -1);
      RangeConstants found = RangeConstants.of(Integer.parseInt(cells[0]));
      near(cells, "d2", found.d2());
      near(cells, "d3", found.d3());
      near(cells, "c4", found.c4());
      near(cells, "A2", found.meanFactorOfRange());
      near(cells, "A3", found.meanFactorOfDeviation());
      near(cells, "B3", found.lowerDeviationFactor());
      near(cells, "B4", found.upperDeviationFactor());
      near(cells, "D3", found.lowerRangeFactor());
      near(cells, "D4", found.upperRangeFactor());
    }
  }

  private static void near(String[] cells, String constant, double found) {
    double printed = Double.parseDouble(cells[HEAD.indexOf(constant)]);
    assertThat(found).as(constant + " at n = " + cells[0]).isCloseTo(printed, within(7.3e-4));
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
    double c4 = gammaOfHalf(n) / gammaOfHalf(n - 1) * Math.sqrt(2.0 / (n - 1));
    assertThat(c4).isCloseTo(constants.c4(), within(1e-9));
  }

  /** The gamma function of n / 2. */
  private static double gammaOfHalf(int n) {
    return n == 1 ? Math.sqrt(Math.PI) : n == 2 ? 1 : (n / 2.0 - 1) * gammaOfHalf(n - 2);
  }

  @Test
  void aSampleOfOneHasNoRange() {
    assertThatThrownBy(() -> RangeConstants.of(1))
        .hasMessage("expected a sample of 2 to 25 values, found 1");
    assertThatThrownBy(() -> RangeConstants.of(26)).hasMessageContaining("found 26");
  }
}
