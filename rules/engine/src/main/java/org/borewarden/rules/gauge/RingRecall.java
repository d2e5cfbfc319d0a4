package org.borewarden.rules.gauge;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.judge.Places;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;

/**
 * What becomes of verdicts when a ring's size turns out to have been another one than certified: a
 * gauge that was set to it read every bore by the difference too large or too small. Judges months
 * again from what the journal keeps; each verdict names the ring that its gauge rested on.
 */
public final class RingRecall {
  private RingRecall() {}

  /**
   * Judges bores again.
   *
   * @param bores the bores that rested on the ring since it was wrong, in any order
   * @param certified the size that was believed
   * @param truly the size that it had
   * @return those whose verdict changes, with their true size and verdict
   */
  public static List<SuspectWindow.Suspect> judge(
      Iterable<LoggedBore> bores, Length certified, Length truly) {
    Length by = truly.minus(certified);
    List<SuspectWindow.Suspect> changed = new ArrayList<>();
    for (LoggedBore bore : bores) {
      Span span = new Span(bore.judged().low().plus(by), bore.judged().high().plus(by));
      Verdict verdict = Places.judge(bore.acceptance(), span).verdict();
      if (verdict != bore.verdict()) {
        changed.add(new SuspectWindow.Suspect(bore, Optional.of(span.low()), Optional.of(verdict)));
      }
    }
    return List.copyOf(changed);
  }
}
