package org.borewarden.rules.watch;

import java.util.List;
import java.util.function.DoubleSupplier;
import org.borewarden.rules.part.ChartTest;

/**
 * How many bores it takes on average until one of several tests that look at the same bores
 * signals: a simulation of the classes that judge. Each run begins with an empty memory (zero
 * state) and counts its first bore as 1.
 *
 * @param mean the mean number of bores
 * @param error the standard error of that mean
 * @param cut the runs that had not signalled when they were cut off; the mean is then too small
 */
public record RunLength(double mean, double error, int cut) {
  /** The mean of each bore, in sigmas. */
  public interface Level {
    /** The process stays as it was. */
    Level STEADY = bore -> 0;

    /**
     * The mean of a bore.
     *
     * @param bore from 1
     * @return in sigmas from the centre
     */
    double at(int bore);
  }

  /**
   * Simulates.
   *
   * @param tests the tests, at least one
   * @param level where the process goes
   * @param normal gives standard normal deviates; seeded, so that the same call gives the same
   * @param runs how many, at least 2
   * @param most the bores after which a run is cut off
   * @return the run length
   */
  public static RunLength of(
      List<ChartTest> tests, Level level, DoubleSupplier normal, int runs, int most) {
    RunningTest[] running = tests.stream().map(RunningTest::of).toArray(RunningTest[]::new);
    double sum = 0;
    double squares = 0;
    int cut = 0;
    for (int run = 0; run < runs; run++) {
      int length = length(running, level, normal, most);
      cut += length > most ? 1 : 0;
      sum += length;
      squares += (double) length * length;
    }
    double mean = sum / runs;
    return new RunLength(mean, Math.sqrt((squares / runs - mean * mean) / runs), cut);
  }

  private static int length(RunningTest[] tests, Level level, DoubleSupplier normal, int most) {
    for (RunningTest test : tests) {
      test.clear();
    }
    for (int bore = 1; bore <= most; bore++) {
      double w = level.at(bore) + normal.getAsDouble();
      for (RunningTest test : tests) {
        if (test.take(w, bore, true) != 0) {
          return bore;
        }
      }
    }
    return most + 1;
  }
}
