package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.math.BigDecimal;
import java.util.List;
import org.assertj.core.data.Offset;
import org.borewarden.rules.Resource;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Against the certified values of the NIST Statistical Reference Datasets. */
class ReferenceSetsTest {

  /**
   * As the product feeds them: whole steps from a near origin, which are exact in a double. The
   * tolerance is 14 digits of the certified value.
   */
  @ParameterizedTest
  @CsvSource({
    "lew,0,1,-177.435000000000,277.332168044316",
    "mavro,2,100000,2.00185600000000,0.000429123454003053",
    "michelso,299.8,1000,299.852400000000,0.0790105478190518",
    "numacc1,10000000,1,10000002,1",
    "numacc2,1,10,1.2,0.1",
    "numacc3,1000000,10,1000000.2,0.1"
  })
  void momentsOfDeviationsKeepFourteenDigits(
      String set, String origin, String steps, double mean, double deviation) {
    Moments moments = Moments.NONE;
    BigDecimal nominal = new BigDecimal(origin);
    for (String line : Resource.lines(getClass(), "univariate_" + set + ".txt")) {
      BigDecimal value = new BigDecimal(line).subtract(nominal).multiply(new BigDecimal(steps));
      assertThat(value.stripTrailingZeros().scale()).as("whole steps").isLessThanOrEqualTo(0);
      moments = moments.plus(value.doubleValue());
    }
    double perStep = Double.parseDouble(steps);
    assertThat(nominal.doubleValue() + moments.mean() / perStep).isCloseTo(mean, digits(14, mean));
    assertThat(moments.standardDeviation() / perStep).isCloseTo(deviation, digits(14, deviation));
  }

  /** Exact sums keep every digit that a double can give, on raw sizes as on deviations. */
  @ParameterizedTest
  @CsvSource({
    "lew,1,-177.435000000000,277.332168044316",
    "mavro,100000,2.00185600000000,0.000429123454003053",
    "michelso,10000,299.852400000000,0.0790105478190518",
    "numacc1,1,10000002,1",
    "numacc2,10,1.2,0.1",
    "numacc3,10,1000000.2,0.1"
  })
  void exactMomentsOfRawSizesKeepEveryCertifiedDigit(
      String set, long steps, double mean, double deviation) {
    ExactMoments moments = ExactMoments.NONE;
    for (String line : Resource.lines(getClass(), "univariate_" + set + ".txt")) {
      moments =
          moments.plus(new BigDecimal(line).multiply(BigDecimal.valueOf(steps)).longValueExact());
    }
    assertThat(moments.mean() / steps).isCloseTo(mean, digits(15, mean));
    assertThat(moments.standardDeviation() / steps).isCloseTo(deviation, digits(14, deviation));
  }

  /** Why the product does not feed raw sizes: their decimals are already rounded. */
  @Test
  void momentsOfRawSizesFarFromZeroKeepOnlyTen() {
    Moments moments = Moments.NONE;
    for (String line : Resource.lines(getClass(), "univariate_numacc3.txt")) {
      moments = moments.plus(Double.parseDouble(line));
    }
    assertThat(moments.mean()).isCloseTo(1000000.2, digits(14, 1000000.2));
    assertThat(moments.standardDeviation()).isCloseTo(0.1, within(1e-9));
  }

  @Test
  void theNorrisLineIsMetInTenthsAsTheyAreExact() {
    Regression line = read("regression_norris.csv", 10);
    assertThat(line.count()).isEqualTo(36);
    assertThat(line.slope()).isCloseTo(1.00211681802045, digits(14, 1));
    // A small difference of numbers near 430, of which a double has 1e-13 to give: 12 digits.
    assertThat(line.intercept() / 10).isCloseTo(-0.262323073774029, within(4e-13));
    // Residuals near 1 of values near 1000, each of which a double has to 1e-13: 13 digits.
    assertThat(line.residualDeviation() / 10).isCloseTo(0.884796396144373, digits(13, 1));
    assertThat(line.residualDeviation() / Math.sqrt(line.sxx()))
        .isCloseTo(0.429796848199937E-03, digits(13, 4.3e-4));
    assertThat(line.residualSquares() / 100).isCloseTo(26.6173985294224, digits(13, 26.6));
  }

  /**
   * The set's model has no intercept, ours has one; its slope through the origin follows from our
   * sums all the same. With an intercept the points lie on y = x + 70 exactly.
   */
  @Test
  void theLineThroughTheOriginFollowsFromTheSums() {
    Regression line = read("regression_noint1.csv", 1);
    double products = line.sxy() + line.count() * line.meanX() * line.meanY();
    double squares = line.sxx() + line.count() * line.meanX() * line.meanX();
    assertThat(products / squares).isCloseTo(2.07438016528926, within(1e-14));
    assertThat(line.slope()).isEqualTo(1);
    assertThat(line.intercept()).isEqualTo(70);
    assertThat(line.residualSquares()).isZero();
  }

  /** Student's t as any table prints it, and normal quantiles to more digits. */
  @Test
  void quantilesAreThoseOfTheTables() {
    assertThat(Quantiles.student(0.95, 1)).isCloseTo(6.313751514675043, within(1e-9));
    assertThat(Quantiles.student(0.95, 10)).isCloseTo(1.8124611228107335, within(1e-9));
    assertThat(Quantiles.student(0.975, 30)).isCloseTo(2.0422724563012373, within(1e-9));
    assertThat(Quantiles.normal(0.95)).isCloseTo(1.6448536269514722, within(1e-12));
    assertThat(Quantiles.normal(0.975)).isCloseTo(1.959963984540054, within(1e-12));
    assertThat(Quantiles.normalTail(6)).isCloseTo(9.865876450376946e-10, within(1e-22));
  }

  private Regression read(String name, int steps) {
    List<String> lines = Resource.lines(getClass(), name);
    Regression line = Regression.NONE;
    for (String row : lines.subList(1, lines.size())) {
      String[] xy = row.split(",", -1);
      line = line.plus(exact(xy[0], steps), exact(xy[1], steps));
    }
    return line;
  }

  private static double exact(String text, int steps) {
    return new BigDecimal(text).multiply(BigDecimal.valueOf(steps)).doubleValue();
  }

  private static Offset<Double> digits(int digits, double of) {
    return within(Math.abs(of) * Math.pow(10, -digits));
  }
}
