package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RepeatsTest {
  /** Metrology.md 4.11: m = 6 at s = 2 r, 9 at s = r, 15 at s = r/2. */
  @ParameterizedTest
  @CsvSource({"2, 6", "1, 9", "0.5, 15"})
  void theCountOfEqualBoresIsThatOfThePage(double steps, int count) {
    assertThat(Repeats.count(steps)).isEqualTo(count);
  }

  /** By hand, s = r/2: 0.6827^2 + 2 x 0.1573^2 = 0.5156, the steps beyond add under 1e-5. */
  @Test
  void theChanceOfTwoEqualBoresIsTheSumOfSquares() {
    assertThat(Repeats.ofTwo(0.5)).isCloseTo(0.5156, within(1e-4));
  }
}
