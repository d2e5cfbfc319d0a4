package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class LineTest {
  private static Regression of(double... xy) {
    Regression line = Regression.NONE;
    for (int i = 0; i < xy.length; i += 2) {
      line = line.plus(xy[i], xy[i + 1]);
    }
    return line;
  }

  @Test
  void withoutTwoDifferentAbscissasThereIsNoLine() {
    assertThat(Line.fit(Regression.NONE, SlopeSums.NONE)).isEmpty();
    assertThat(Line.fit(of(3, 5), SlopeSums.NONE)).isEmpty();
    assertThat(Line.fit(of(3, 5, 3, 7), SlopeSums.NONE)).isEmpty();
  }

  /** 5 and 7 at one place are 2 about their mean, wherever the line goes from there. */
  @Test
  void equalAbscissasLeaveTheirOwnResiduals() {
    assertThat(of(3, 5, 3, 7).residualSquares()).isEqualTo(2);
    assertThat(of(3, 5, 3, 7, 4, 9).residualSquares()).isEqualTo(2);
    assertThat(of(3, 5, 3, 7, 3, 9).residualSquares()).isCloseTo(8, within(1e-14));
    assertThat(of(4, 9, 3, 5, 3, 7).residualSquares()).isCloseTo(2, within(1e-14));
  }

  @Test
  void withoutADegreeOfFreedomThereIsNoResidualDeviation() {
    assertThat(Line.fit(of(0, 3, 1, 4), SlopeSums.NONE).orElseThrow().residualDeviation()).isNaN();
    assertThat(of(0, 3, 1, 4).residualDeviation()).isNaN();
    assertThat(of(0, 3, 1, 5, 2, 4).residualDeviation()).isCloseTo(Math.sqrt(1.5), within(1e-14));
    assertThat(Line.fit(of(0, 3, 1, 5, 2, 4), SlopeSums.NONE).orElseThrow().residualDeviation())
        .isCloseTo(Math.sqrt(1.5), within(1e-14));
    assertThat(Moments.NONE.plus(3).standardDeviation()).isNaN();
    assertThat(Moments.NONE.plus(3).plus(5).standardDeviation())
        .isCloseTo(Math.sqrt(2), within(1e-14));
  }

  /** Two segments of slope 2 with levels 100 apart: fitted as one they would give another slope. */
  @Test
  void segmentsShareTheirSlopeAndKeepTheirLevels() {
    SlopeSums closed = SlopeSums.NONE.plus(of(0, 1, 1, 3, 2, 5)).plus(Regression.NONE);
    Line line = Line.fit(of(0, 101, 1, 103), closed).orElseThrow();
    assertThat(closed.segments()).isEqualTo(1);
    assertThat(line.slope()).isCloseTo(2, within(1e-15));
    assertThat(line.at(5)).isCloseTo(111, within(1e-12));
    assertThat(line.count()).isEqualTo(5);
    assertThat(line.freedom()).isEqualTo(2);
    assertThat(line.residualSquares()).isCloseTo(0, within(1e-12));
  }

  /** Computed with another library: y on x and a 0/1 column for the second segment. */
  @Test
  void residualsOfACommonSlopeAreThoseOfTheFullModel() {
    SlopeSums closed = SlopeSums.NONE.plus(of(1, 5, 2, 4, 3, 4, 4, 2));
    Line line = Line.fit(of(5, 9, 6, 9, 7, 7), closed).orElseThrow();
    assertThat(line.slope()).isCloseTo(-0.9285714285714278, within(1e-12));
    assertThat(line.residualSquares()).isCloseTo(1.3809523809523838, within(1e-12));
    assertThat(line.freedom()).isEqualTo(4);
  }

  /** At Fieller's ends the line differs from the level by exactly q standard errors. */
  @Test
  void theEndsOfTheCrossingAreWhereTheLineIsQStandardErrorsOff() {
    Regression points = of(0, 20, 1, 18, 2, 19, 3, 16, 4, 15, 5, 15);
    Line line = Line.fit(points, SlopeSums.NONE).orElseThrow();
    double sigma = 1.3;
    double q = 1.96;
    Line.Crossing crossing = line.crossing(10, sigma, q).orElseThrow();
    assertThat(line.at(crossing.at())).isCloseTo(10, within(1e-12));
    for (double end : new double[] {crossing.earliest(), crossing.latest()}) {
      double d = end - points.meanX();
      double error = sigma * Math.sqrt(1.0 / points.count() + d * d / points.sxx());
      assertThat(Math.abs(line.at(end) - 10) / error).isCloseTo(q, within(1e-9));
    }
    assertThat(crossing.earliest()).isLessThan(crossing.at());
    assertThat(crossing.latest()).isGreaterThan(crossing.at());
    assertThat(line.crossing(10, 10, q)).as("the slope is no more than noise").isEmpty();
  }

  @Test
  void anExactLineSlopesAndALevelOneDoesNot() {
    Line falling = Line.fit(of(0, 3, 1, 2, 2, 1), SlopeSums.NONE).orElseThrow();
    assertThat(falling.slopesToward(-1, 0, 2)).isTrue();
    assertThat(falling.slopesToward(1, 0, 2)).isFalse();
    Line level = Line.fit(of(0, 3, 1, 3, 2, 3), SlopeSums.NONE).orElseThrow();
    assertThat(level.slopesToward(-1, 0, 2)).isFalse();
    assertThat(level.slopesToward(1, 0, 2)).isFalse();
  }
}
