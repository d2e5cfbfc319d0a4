package org.borewarden.rules.study;

import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import org.borewarden.rules.stat.RangeConstants;

/**
 * Repeatability and reproducibility by averages and ranges (AIAG MSA, 4th ed., chapter III): the
 * way that can be followed with a pencil. It cannot see an interaction of persons and parts.
 *
 * @param meanRange the mean range of one person's trials on one part
 * @param personRange the range of the persons' means
 * @param partRange the range of the parts' means
 * @param spread the spreads that follow
 */
public record RangeStudy(double meanRange, double personRange, double partRange, Spread spread) {
  /**
   * The study of a set of readings.
   *
   * @param readings the readings, at most 25 persons, parts and trials
   * @return its ranges and spreads
   * @throws IllegalArgumentException when there are more of one of them
   */
  public static RangeStudy of(CrossedReadings readings) {
    int k = readings.persons();
    int n = readings.parts();
    int r = readings.trials();
    double meanRange =
        IntStream.range(0, k)
            .boxed()
            .flatMapToDouble(
                person ->
                    IntStream.range(0, n).mapToDouble(part -> range(readings.ofCell(person, part))))
            .average()
            .orElseThrow();
    double personRange = range(IntStream.range(0, k).mapToDouble(p -> mean(readings.ofPerson(p))));
    double partRange = range(IntStream.range(0, n).mapToDouble(p -> mean(readings.ofPart(p))));
    double repeatability = meanRange / RangeConstants.of(r).d2();
    double persons = personRange / single(k);
    double variance = persons * persons - repeatability * repeatability / (n * r);
    return new RangeStudy(
        meanRange,
        personRange,
        partRange,
        new Spread(repeatability, Math.sqrt(Math.max(0, variance)), 0, partRange / single(n)));
  }

  /**
   * What a single range of n values is divided by so that its square is unbiased: the root of d2^2
   * + d3^2 (Duncan's d2* for one sample).
   */
  private static double single(int n) {
    RangeConstants constants = RangeConstants.of(n);
    return Math.sqrt(constants.d2() * constants.d2() + constants.d3() * constants.d3());
  }

  private static double range(DoubleStream values) {
    double[] all = values.toArray();
    return DoubleStream.of(all).max().orElseThrow() - DoubleStream.of(all).min().orElseThrow();
  }

  private static double mean(DoubleStream values) {
    return values.average().orElseThrow();
  }
}
