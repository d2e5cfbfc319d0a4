package org.borewarden.rules.study;

import java.util.List;
import java.util.function.ToDoubleFunction;
import org.borewarden.rules.stat.Moments;

/**
 * A gauge study over repeated readings, days and runs weeks apart (NIST/SEMATECH e-Handbook 2.4.4):
 * how much a gauge differs within minutes, from day to day and from run to run. In the unit of the
 * readings.
 *
 * @param repeatability s1, of readings within a day, pooled over the days
 * @param reproducibility s2, of the daily averages of a run, pooled over the runs
 * @param stability s3, of the averages of the runs; NaN with one run
 */
public record NestedStudy(double repeatability, double reproducibility, double stability) {
  /**
   * One day's readings of one part.
   *
   * @param average their average
   * @param deviation their standard deviation; every day has as many readings
   */
  public record Day(double average, double deviation) {}

  /**
   * The study of one part.
   *
   * @param runs the runs, each of as many days, at least 2
   * @return the three standard deviations
   */
  public static NestedStudy of(List<List<Day>> runs) {
    double withinDays =
        rootMeanSquare(runs.stream().flatMap(List::stream).map(Day::deviation).toList());
    double withinRuns =
        rootMeanSquare(
            runs.stream().map(run -> moments(run, Day::average).standardDeviation()).toList());
    double betweenRuns =
        moments(runs, run -> moments(run, Day::average).mean()).standardDeviation();
    return new NestedStudy(withinDays, withinRuns, betweenRuns);
  }

  /**
   * Several parts together: each standard deviation pooled, which is right where each part was
   * measured as often.
   *
   * @param studies the studies of the parts, at least one
   * @return the pooled standard deviations
   */
  public static NestedStudy pooled(List<NestedStudy> studies) {
    return new NestedStudy(
        rootMeanSquare(studies.stream().map(NestedStudy::repeatability).toList()),
        rootMeanSquare(studies.stream().map(NestedStudy::reproducibility).toList()),
        rootMeanSquare(studies.stream().map(NestedStudy::stability).toList()));
  }

  private static <T> Moments moments(List<T> values, ToDoubleFunction<T> of) {
    Moments moments = Moments.NONE;
    for (T value : values) {
      moments = moments.plus(of.applyAsDouble(value));
    }
    return moments;
  }

  private static double rootMeanSquare(List<Double> values) {
    double squares = values.stream().mapToDouble(v -> v * v).sum();
    return Math.sqrt(squares / values.size());
  }
}
