package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class TheilSenTest {
  /** The example of Sen (1968), from memory: slope 4, 93 % interval 3.71 to 4.38. */
  @Test
  void theSlopeAndItsIntervalAreThoseOfSensExample() {
    double[] x = {1, 2, 3, 4, 10, 12, 18};
    double[] y = {9, 15, 19, 20, 45, 55, 78};
    TheilSen line = TheilSen.of(x, y, Quantiles.normal(0.965));
    assertThat(line.slope()).isEqualTo(4);
    assertThat(line.low()).isCloseTo(3.71, within(0.005));
    assertThat(line.high()).isCloseTo(4.375, within(1e-12));
  }

  @Test
  void oneWildPointMovesTheSlopeLittle() {
    double[] x = new double[20];
    double[] y = new double[20];
    for (int i = 0; i < 20; i++) {
      x[i] = i;
      y[i] = -0.8 * i + (i % 2 == 0 ? 0.1 : -0.1);
    }
    double straight = TheilSen.of(x, y, 2).slope();
    y[19] = 1000;
    assertThat(TheilSen.of(x, y, 2).slope()).isCloseTo(straight, within(0.02));
  }

  /** Ties make the interval narrower: twelve equal ordinates have no variance at all. */
  @Test
  void tiesAreCorrectedFor() {
    double[] x = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11};
    double[] level = new double[12];
    assertThat(TheilSen.of(x, level, 3)).isEqualTo(new TheilSen(0, 0, 0));
  }
}
