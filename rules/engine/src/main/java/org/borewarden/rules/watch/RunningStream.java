package org.borewarden.rules.watch;

import java.util.Arrays;
import java.util.List;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.stat.Quantiles;
import org.borewarden.rules.stat.Regression;
import org.borewarden.rules.stat.SlopeSums;

/**
 * The mathematics of one stream of bores in place: limits with their guard band, tests over
 * standardised bores and the drift forecast, for a loop of one's own over very many bores. The
 * arithmetic is that of {@link Judge} and {@link Watches}, and gives the same bits; findings,
 * alerts, holds and the record of a bore are theirs alone.
 *
 * <p>Once compiled a bore allocates nothing, with patterns, moving averages and cumulative sums.
 * Mutable, and for one thread.
 */
public final class RunningStream {
  private final Acceptance acceptance;
  private final long centre;
  private final double sigma;
  private final RunningTest[] tests;
  private final int[] signals;
  private final Forecasting forecasting;
  private final Bound bound = new Bound();
  private SlopeSums closed = SlopeSums.NONE;
  private long closedLength;
  private long count;
  private double meanX;
  private double meanY;
  private double sxx;
  private double sxy;
  private double residualSquares;
  private long firstPart;
  private long lastPart;
  private double conformity = Double.NaN;
  private int partsLeft;

  /**
   * What the forecast needs, worked out once.
   *
   * @param minimumBores n_min
   * @param quantile of the slope test and the prediction bound
   * @param lower the lower acceptance limit, picometres from the centre; NaN where none stands
   * @param upper the upper one
   */
  private record Forecasting(int minimumBores, double quantile, double lower, double upper) {}

  /**
   * Begins a stream.
   *
   * @param acceptance the limits and how a bore is compared with them
   * @param centre from where bores are counted
   * @param sigma of one bore, given, above 0
   * @param tests what is looked for, at most 32
   * @param probability the one-sided level of the forecast, over 0.5 and under 1
   * @param minimumBores the bores that must stand before a forecast is made, at least 3
   * @throws IllegalArgumentException when a setting is out of its range
   */
  public RunningStream(
      Acceptance acceptance,
      Length centre,
      Length sigma,
      List<ChartTest> tests,
      double probability,
      int minimumBores) {
    if (!sigma.isAbove(Length.ZERO)) {
      throw new IllegalArgumentException("sigma must be above 0");
    }
    if (!(probability > 0.5 && probability < 1) || minimumBores < 3 || tests.size() > 32) {
      throw new IllegalArgumentException(
          "expected a probability over 0.5 and under 1, 3 bores or more and at most 32 tests");
    }
    this.acceptance = acceptance;
    this.centre = centre.picometres();
    this.sigma = sigma.picometres();
    this.tests = tests.stream().map(RunningTest::of).toArray(RunningTest[]::new);
    this.signals = new int[tests.size()];
    this.forecasting =
        new Forecasting(
            minimumBores,
            Quantiles.normal(probability),
            acceptance.zone().lower().map(this::off).orElse(Double.NaN),
            acceptance.zone().upper().map(this::off).orElse(Double.NaN));
  }

  private double off(Length size) {
    return size.picometres() - centre;
  }

  /** A new tool: all bores are forgotten. */
  public void toolChanged() {
    for (RunningTest test : tests) {
      test.clear();
    }
    closed = SlopeSums.NONE;
    closedLength = 0;
    begin();
  }

  /** An offset: the tests begin anew, the slope is kept and the level is not. */
  public void offsetEntered() {
    SlopeSums sums = closed.plus(open());
    long length = closedLength + lastPart - firstPart;
    toolChanged();
    closed = sums;
    closedLength = length;
  }

  private void begin() {
    count = 0;
    meanX = 0;
    meanY = 0;
    sxx = 0;
    sxy = 0;
    residualSquares = 0;
    firstPart = 0;
    lastPart = 0;
    conformity = Double.NaN;
    partsLeft = 0;
    Arrays.fill(signals, 0);
  }

  /**
   * One bore more.
   *
   * @param part its place in cutting order, after the one before
   * @param picometres its size
   * @return the verdict
   * @throws IllegalArgumentException when the part does not come after the one before
   */
  public Verdict take(long part, long picometres) {
    boolean first = count == 0;
    if (!first && part <= lastPart) {
      throw new IllegalArgumentException("part " + part + " after part " + lastPart);
    }
    boolean follows = !first && part - lastPart == 1;
    double deviation = picometres - centre;
    double w = deviation / sigma;
    for (int i = 0; i < tests.length; i++) {
      signals[i] = tests[i].take(w, part, follows);
    }
    firstPart = first ? part : firstPart;
    lastPart = part;
    fit((double) (part - firstPart), deviation);
    partsLeft = foretold();
    conformity = acceptance.conformity(picometres);
    return Judge.verdict(acceptance, picometres);
  }

  private void fit(double x, double y) {
    Regression next = open().plus(x, y);
    count = next.count();
    meanX = next.meanX();
    meanY = next.meanY();
    sxx = next.sxx();
    sxy = next.sxy();
    residualSquares = next.residualSquares();
  }

  private Regression open() {
    return new Regression(count, meanX, meanY, sxx, sxy, residualSquares);
  }

  private int foretold() {
    double squares = closed.sxx() + sxx;
    if (closed.count() + count < forecasting.minimumBores() || !(squares > 0)) {
      return 0;
    }
    double slope = (closed.sxy() + sxy) / squares;
    double level = slope > 0 ? forecasting.upper() : forecasting.lower();
    double width = forecasting.quantile() * sigma;
    if (slope == 0 || Math.abs(slope) < width / Math.sqrt(squares) || Double.isNaN(level)) {
      return 0;
    }
    bound.set(meanX, meanY, slope, squares);
    bound.set(count, width, level);
    return bound.partsLeft((double) (lastPart - firstPart), closedLength + lastPart - firstPart);
  }

  /**
   * The probability of conformity of the last bore.
   *
   * @return 0 to 1; NaN where no uncertainty is stated
   */
  public double conformity() {
    return conformity;
  }

  /**
   * What a test said of the last bore.
   *
   * @param test its place in the list, from 0
   * @return 1 above the centre or upward, -1 below or downward, 2 for a signal without a side, 0
   *     for none
   */
  public int signal(int test) {
    return signals[test];
  }

  /**
   * The forecast after the last bore.
   *
   * @return h, the parts until the prediction bound reaches the acceptance limit; 0 where there is
   *     no forecast
   */
  public int partsLeft() {
    return partsLeft;
  }
}
