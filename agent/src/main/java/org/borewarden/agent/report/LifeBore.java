package org.borewarden.agent.report;

import java.time.Instant;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;

/**
 * A judged bore of a report.
 *
 * @param seq the seq of its verdict
 * @param at when it was judged
 * @param judged the bore and its verdict
 * @param again whether its part was measured before, in the same tool life
 * @param segment the offsets that were entered before it in its tool life
 * @param rules the rules revision in force
 */
record LifeBore(
    long seq, Instant at, Decision.BoreJudged judged, boolean again, int segment, String rules) {
  LifeBore asAgain(boolean other) {
    return new LifeBore(seq, at, judged, other, segment, rules);
  }

  Feature feature() {
    return judged.feature();
  }

  Bore bore() {
    return judged.bore();
  }

  Judgement judgement() {
    return judged.judgement();
  }

  Verdict verdict() {
    return judged.judgement().verdict();
  }

  Length deviation() {
    return bore().value().minus(feature().nominal());
  }

  /** Whether a statement about the process may rest on it, if it was not taken back. */
  boolean counts() {
    boolean ofTheRun = !again && judged.beside().piece().isEmpty();
    return ofTheRun && verdict() != Verdict.WITHHELD && verdict() != Verdict.CONFIRMING;
  }
}
