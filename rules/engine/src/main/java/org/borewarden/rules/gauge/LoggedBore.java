package org.borewarden.rules.gauge;

import java.time.Instant;
import java.util.Optional;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;

/**
 * A judged bore, as far as it must be known when its gauge is found to be wrong.
 *
 * @param seq the seq of its verdict
 * @param at when it was judged
 * @param feature its feature
 * @param part its part's number
 * @param serial its part's serial
 * @param judged the ends of what was judged
 * @param nominal the feature's nominal size
 * @param acceptance the limits and the rule that were used
 * @param verdict what was said
 * @param newSegment whether it is the first since a tool change or an offset
 */
public record LoggedBore(
    long seq,
    Instant at,
    String feature,
    long part,
    Optional<String> serial,
    Span judged,
    Length nominal,
    Acceptance acceptance,
    Verdict verdict,
    boolean newSegment) {
  /**
   * The same bore of another part: the wrong one was scanned.
   *
   * @param other the part's serial
   * @return a bore that differs in its serial only
   */
  public LoggedBore withSerial(String other) {
    return new LoggedBore(
        seq,
        at,
        feature,
        part,
        Optional.of(other),
        judged,
        nominal,
        acceptance,
        verdict,
        newSegment);
  }
}
