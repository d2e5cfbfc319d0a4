package org.borewarden.rules.study;

import java.util.function.IntToDoubleFunction;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import org.apache.commons.statistics.distribution.FDistribution;

/**
 * Repeatability and reproducibility by analysis of variance (ISO 22514-7 annex A; AIAG MSA, 4th
 * ed., chapter III): two crossed factors, persons and parts, both random.
 *
 * @param persons the mean square between persons
 * @param parts the mean square between parts
 * @param interaction the mean square of their interaction
 * @param error the mean square within a person and part
 * @param ratio F, interaction over error
 * @param significance the probability of an F as large without interaction
 * @param full the spreads with the interaction kept apart
 * @param pooled the spreads with the interaction pooled into the error
 */
public record VarianceStudy(
    double persons,
    double parts,
    double interaction,
    double error,
    double ratio,
    double significance,
    Spread full,
    Spread pooled) {
  /** The significance above which an interaction is pooled (AIAG MSA). */
  public static final double USUAL_POOLING = 0.25;

  /**
   * The study of a set of readings.
   *
   * @param readings the readings
   * @return its mean squares and spreads; the ratio is NaN where one person reads one part always
   *     alike and no person differs
   */
  public static VarianceStudy of(CrossedReadings readings) {
    int k = readings.persons();
    int n = readings.parts();
    int r = readings.trials();
    double mean = mean(readings.all());
    double ssPersons = n * r * squares(k, person -> mean(readings.ofPerson(person)), mean);
    double ssParts = k * r * squares(n, part -> mean(readings.ofPart(part)), mean);
    double ssCells = 0;
    double ssError = 0;
    for (int person = 0; person < k; person++) {
      for (int part = 0; part < n; part++) {
        double cell = mean(readings.ofCell(person, part));
        ssCells += r * (cell - mean) * (cell - mean);
        ssError += readings.ofCell(person, part).map(y -> (y - cell) * (y - cell)).sum();
      }
    }
    double ssInteraction = Math.max(0, ssCells - ssPersons - ssParts);
    int freedomInteraction = (k - 1) * (n - 1);
    int freedomError = k * n * (r - 1);
    double msPersons = ssPersons / (k - 1);
    double msParts = ssParts / (n - 1);
    double msInteraction = ssInteraction / freedomInteraction;
    double msError = ssError / freedomError;
    double msPooled = (ssInteraction + ssError) / (freedomInteraction + freedomError);
    double ratio = msInteraction / msError;
    return new VarianceStudy(
        msPersons,
        msParts,
        msInteraction,
        msError,
        ratio,
        FDistribution.of(freedomInteraction, freedomError).survivalProbability(ratio),
        new Spread(
            Math.sqrt(msError),
            root((msPersons - msInteraction) / (n * r)),
            root((msInteraction - msError) / r),
            root((msParts - msInteraction) / (k * r))),
        new Spread(
            Math.sqrt(msPooled),
            root((msPersons - msPooled) / (n * r)),
            0,
            root((msParts - msPooled) / (k * r))));
  }

  /**
   * The spreads to report: pooled where the interaction is not significant.
   *
   * @param pooling the significance above which it is pooled, such as {@link #USUAL_POOLING}
   * @return one of {@link #full} and {@link #pooled}
   */
  public Spread spread(double pooling) {
    return significance > pooling ? pooled : full;
  }

  /** A negative estimate of a variance means that there is none to see. */
  private static double root(double variance) {
    return Math.sqrt(Math.max(0, variance));
  }

  private static double mean(DoubleStream values) {
    return values.average().orElseThrow();
  }

  private static double squares(int count, IntToDoubleFunction value, double mean) {
    return IntStream.range(0, count)
        .mapToDouble(i -> value.applyAsDouble(i) - mean)
        .map(difference -> difference * difference)
        .sum();
  }
}
