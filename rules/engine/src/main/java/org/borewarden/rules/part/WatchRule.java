package org.borewarden.rules.part;

import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.measure.Length;

/** The settings of a watch, a rule over successive bores of one stream. */
public sealed interface WatchRule {
  /**
   * The watch's name, unique in its feature.
   *
   * @return the id from the rules file
   */
  String id();

  /**
   * The same watch under another name, as each of several streams has its own.
   *
   * @param other the name
   * @return a watch that differs in its name only
   */
  WatchRule named(String other);

  /**
   * A run of successive bores on one side of the centre. A value exactly on the centre ends a run.
   *
   * @param id the watch's name
   * @param count how many bores make a run, 2 to 100
   * @param action what a run does
   */
  record OneSide(String id, int count, Action action) implements WatchRule {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when the id is not a name or the count out of its range
     */
    public OneSide {
      Check.name("the id of a watch", id);
      Check.range("the count of a run", count, 2, 100);
    }

    @Override
    public OneSide named(String other) {
      return new OneSide(other, count, action);
    }
  }

  /**
   * A chart over single bores: a pattern, a moving average or a cumulative sum.
   *
   * @param id the watch's name
   * @param test what it looks for
   * @param scale from where and in which sigma the bores are counted
   * @param action what a signal does
   */
  record Chart(String id, ChartTest test, ChartScale scale, Action action) implements WatchRule {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when the id is not a name or the test needs a sigma and the
     *     scale has none
     */
    public Chart {
      Check.name("the id of a watch", id);
      if (scale instanceof ChartScale.None && needsSigma(test)) {
        throw new IllegalArgumentException("watch " + id + " needs a sigma, given or learnt");
      }
      if (scale instanceof ChartScale.Zones != test instanceof LevelTest.PreControl) {
        throw new IllegalArgumentException("zones belong to pre-control, and it to them");
      }
    }

    @Override
    public Chart named(String other) {
      return new Chart(other, test, scale, action);
    }

    /**
     * Whether a test compares with a sigma.
     *
     * @param test the test
     * @return false where only the order of the bores counts
     */
    public static boolean needsSigma(ChartTest test) {
      return !(test instanceof ChartTest.Trend
          || test instanceof ChartTest.Alternating
          || test instanceof LevelTest.Drift
          || test instanceof LevelTest.PreControl
          || test instanceof ChartTest.Repeats);
    }
  }

  /**
   * Capability over whole tool lives, and over the last bores where that is asked for: shown with
   * the chart, and no finding.
   *
   * @param id the watch's name
   * @param confidence of the intervals, 0.8 to 0.999
   * @param window how many of the last bores to look at besides, {@value #SHORTEST_WINDOW} to
   *     {@value #LONGEST_WINDOW}
   */
  record Capability(String id, double confidence, OptionalInt window) implements WatchRule {
    /** The shortest window, in bores. */
    public static final int SHORTEST_WINDOW = 25;

    /** The longest: each of its bores is remembered. */
    public static final int LONGEST_WINDOW = 500;

    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when the id is not a name, or the confidence or the window
     *     out of its range
     */
    public Capability {
      Check.name("the id of a watch", id);
      Check.range("the confidence", confidence, 0.8, 0.999);
      window.ifPresent(n -> Check.range("the window", n, SHORTEST_WINDOW, LONGEST_WINDOW));
    }

    @Override
    public Capability named(String other) {
      return new Capability(other, confidence, window);
    }
  }

  /**
   * Capability of a kind of form against its limit, by quantiles: form is never negative and never
   * normal, so that mean and sigma say nothing of its tail. Shown with the chart, and no finding.
   *
   * @param id the watch's name
   * @param kind the kind of form, which the plan limits
   * @param confidence of what is said of the tail, 0.8 to 0.999
   */
  record FormCapability(String id, FormKind kind, double confidence) implements WatchRule {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when the id is not a name or the confidence out of its range
     */
    public FormCapability {
      Check.name("the id of a watch", id);
      Check.range("the confidence", confidence, 0.8, 0.999);
    }

    @Override
    public FormCapability named(String other) {
      return new FormCapability(other, kind, confidence);
    }
  }

  /**
   * What to enter at the machine, as advice, and the proof of what was entered.
   *
   * @param id the watch's name
   * @param step the machine's smallest entry, above 0
   * @param onRadius whether entries are on radius, so that a bore changes by twice as much
   * @param reversed whether a positive entry makes a bore smaller
   * @param sigma of one bore about the line, where the rules give it; else from the residuals
   * @param minimumBores the bores that must stand before anything is advised, 3 to 1000
   * @param proofBores the bores after an offset that prove it, 1 to 20
   * @param action what an offset does that shows otherwise than it was asked for
   */
  record ToolOffset(
      String id,
      Length step,
      boolean onRadius,
      boolean reversed,
      Optional<Length> sigma,
      int minimumBores,
      int proofBores,
      Action action)
      implements WatchRule {
    /** The advice never takes back less than one part in so many. */
    public static final int SMALLEST_GAIN = 3;

    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public ToolOffset {
      Check.name("the id of a watch", id);
      if (!step.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("the step must be above 0");
      }
      if (sigma.isPresent() && !sigma.get().isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("sigma must be above 0");
      }
      Check.range("the minimum of bores", minimumBores, 3, 1000);
      Check.range("the bores of a proof", proofBores, 1, 20);
    }

    @Override
    public ToolOffset named(String other) {
      return new ToolOffset(
          other, step, onRadius, reversed, sigma, minimumBores, proofBores, action);
    }
  }

  /**
   * The drift forecast: how many parts until the acceptance limit.
   *
   * @param id the watch's name
   * @param probability the one-sided level p of the slope test and of the prediction bound, over
   *     0.5 and under 1
   * @param minimumBores n_min, the bores that must stand before a forecast is made, 3 to 1000
   * @param sigma the standard deviation of one bore about the line, where the rules give it; else
   *     that of the segment's residuals with Student's t
   * @param lead parts between the machine and the gauge, the sampling interval and the one in the
   *     cut, 1 to 100000
   * @param alertWithin the forecast, in parts, at or under which an alert is due; absent: no alert
   * @param holdWithin the forecast, in parts, at or under which a hold is due; absent: no hold,
   *     save where alertWithin is absent too: then a hold is due at the lead
   * @param successive how many successive bores must say so, 1 to 10
   * @param alert what an alert does
   * @param hold what a hold does
   * @param prior what earlier inserts say of the slope; it is used under minimumBores
   */
  record Forecast(
      String id,
      double probability,
      int minimumBores,
      Optional<Length> sigma,
      int lead,
      OptionalInt alertWithin,
      OptionalInt holdWithin,
      int successive,
      Action alert,
      Action hold,
      Optional<SlopePrior> prior)
      implements WatchRule {
    /** The farthest forecast, in parts, that a rule can ask for. */
    public static final int MAX_PARTS = 100_000;

    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when a setting is out of its range
     */
    public Forecast {
      Check.name("the id of a watch", id);
      if (!(probability > 0.5 && probability < 1)) {
        throw new IllegalArgumentException(
            "expected a probability over 0.5 and under 1, found " + probability);
      }
      Check.range("the minimum of bores", minimumBores, 3, 1000);
      if (sigma.isPresent() && !sigma.get().isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("sigma must be above 0");
      }
      Check.range("the lead", lead, 1, MAX_PARTS);
      alertWithin.ifPresent(parts -> Check.range("alert within", parts, 1, MAX_PARTS));
      holdWithin.ifPresent(parts -> Check.range("hold within", parts, 1, MAX_PARTS));
      if (alertWithin.isPresent()
          && holdWithin.isPresent()
          && holdWithin.getAsInt() > alertWithin.getAsInt()) {
        throw new IllegalArgumentException("hold within must not be farther than alert within");
      }
      Check.range("the successive bores", successive, 1, 10);
      prior.ifPresent(p -> check(p, minimumBores, sigma.isPresent()));
    }

    private static void check(SlopePrior prior, int minimumBores, boolean sigmaGiven) {
      if (prior.minimumBores() >= minimumBores) {
        throw new IllegalArgumentException("a prior is for fewer bores than the minimum");
      }
      if (prior instanceof SlopePrior.Given && !sigmaGiven) {
        throw new IllegalArgumentException("a prior that is given needs a sigma that is given");
      }
    }

    @Override
    public Forecast named(String other) {
      return new Forecast(
          other,
          probability,
          minimumBores,
          sigma,
          lead,
          alertWithin,
          holdWithin,
          successive,
          alert,
          hold,
          prior);
    }

    /**
     * The forecast at or under which a hold is due.
     *
     * @return parts; empty where this watch has no hold tier
     */
    public OptionalInt holdsAt() {
      return holdWithin.isPresent() || alertWithin.isPresent() ? holdWithin : OptionalInt.of(lead);
    }
  }
}
