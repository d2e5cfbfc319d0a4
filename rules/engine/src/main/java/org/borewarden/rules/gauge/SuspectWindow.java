package org.borewarden.rules.gauge;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.judge.Places;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;

/**
 * The bores between the last good ring check and a failed one, and which of them may have another
 * verdict than they got. The gauge's error b is somewhere between the two errors, and a little
 * beyond for the noise of the checks; a bore is listed when some such b changes the verdict of its
 * size less b, in either direction.
 *
 * @param from the last good check; empty where there was none
 * @param until the failed check; empty where the gauge was set to its ring without one
 * @param least the least error that is possible, picometres; absent where nothing bounds it
 * @param most the most
 * @param bores how many bores lie in the window
 * @param listed those to measure again, oldest first
 * @param cut whether the window began before the bores that are remembered
 */
public record SuspectWindow(
    Optional<RingCheck> from,
    Optional<RingCheck> until,
    OptionalDouble least,
    OptionalDouble most,
    int bores,
    List<Suspect> listed,
    boolean cut) {
  /** How many standard uncertainties of a check are allowed beyond both errors. */
  static final double COVERAGE = 2;

  /** Copies the list. */
  public SuspectWindow {
    listed = List.copyOf(listed);
  }

  /**
   * A bore to measure again.
   *
   * @param bore the bore
   * @param likely its size less the likely error, the low end, where an error is known
   * @param verdict the verdict that it would likely get; empty where none is known
   */
  public record Suspect(LoggedBore bore, Optional<Length> likely, Optional<Verdict> verdict) {
    /**
     * Whether it would likely get another verdict.
     *
     * @return true where that is known
     */
    public boolean likelyChanged() {
      return verdict.map(v -> v != bore.verdict()).orElse(false);
    }
  }

  /**
   * The window of a failed check.
   *
   * @param from the last good check
   * @param until the failed one
   * @param noise the standard deviation of one reading and the gauge's step
   * @param log the bores between
   * @param step how many of these bores came before something happened to the gauge; then the error
   *     stepped there, else it drifted evenly
   * @return which bores to measure again
   */
  public static SuspectWindow of(
      RingCheck from, RingCheck until, Noise noise, BoreLog log, OptionalInt step) {
    double e0 = from.error();
    double e1 = until.error();
    // The ring's own uncertainty shifts both errors alike when it is the same ring.
    double rings =
        from.ring().equals(until.ring()) ? 0 : Math.hypot(from.uncertainty(), until.uncertainty());
    double margin = COVERAGE * Math.hypot(noise.ofMean(until.readings().size()), rings);
    double least = Math.min(e0, e1) - margin;
    double most = Math.max(e0, e1) + margin;
    List<LoggedBore> bores = log.bores();
    List<Suspect> listed = new ArrayList<>();
    for (int i = 0; i < bores.size(); i++) {
      LoggedBore bore = bores.get(i);
      double likely =
          step.isPresent()
              ? (i < step.getAsInt() ? e0 : e1)
              : e0 + (e1 - e0) * (i + 1) / (bores.size() + 1);
      boolean changes =
          less(bore, least).verdict() != bore.verdict()
              || less(bore, most).verdict() != bore.verdict();
      if (changes) {
        Shifted shifted = less(bore, likely);
        listed.add(new Suspect(bore, Optional.of(shifted.low()), Optional.of(shifted.verdict())));
      }
    }
    return new SuspectWindow(
        Optional.of(from),
        Optional.of(until),
        OptionalDouble.of(least),
        OptionalDouble.of(most),
        bores.size(),
        listed,
        log.cut());
  }

  /**
   * The window where one of the two errors is missing: nothing bounds the error, and all bores must
   * be measured again.
   *
   * @param from the last good check, if there was one
   * @param until the failed check, if there was one
   * @param log the bores between
   * @return the whole window
   */
  public static SuspectWindow whole(
      Optional<RingCheck> from, Optional<RingCheck> until, BoreLog log) {
    List<Suspect> listed =
        log.bores().stream()
            .map(bore -> new Suspect(bore, Optional.empty(), Optional.empty()))
            .toList();
    return new SuspectWindow(
        from,
        until,
        OptionalDouble.empty(),
        OptionalDouble.empty(),
        listed.size(),
        listed,
        log.cut());
  }

  /**
   * A bore less an error.
   *
   * @param low its smallest place
   * @param verdict what it would be
   */
  private record Shifted(Length low, Verdict verdict) {}

  private static Shifted less(LoggedBore bore, double error) {
    Length by = new Length(Math.round(error));
    Span span = new Span(bore.judged().low().minus(by), bore.judged().high().minus(by));
    return new Shifted(span.low(), Places.judge(bore.acceptance(), span).verdict());
  }
}
