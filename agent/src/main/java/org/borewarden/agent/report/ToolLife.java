package org.borewarden.agent.report;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.watch.Finding;

/**
 * The bores of a feature from one tool change to the next, of one stream. Filled by one thread.
 *
 * <p>Where nobody said when the tool was changed, the life begins with the span and is no whole
 * one.
 */
final class ToolLife {
  final Feature feature;
  final String stream;
  final Optional<Begun> begun;
  final List<LifeBore> bores = new ArrayList<>();
  final List<Offset> offsets = new ArrayList<>();
  final TreeMap<String, Seen> findings = new TreeMap<>();
  final Set<Long> parts = new HashSet<>();
  Optional<Instant> ended = Optional.empty();

  /** Whether bores of its beginning are left out, because there are too many. */
  boolean cut;

  /**
   * The tool change that began a life.
   *
   * @param at when it was told
   * @param tool the tool, where it was named
   * @param by who told it
   */
  record Begun(Instant at, Optional<String> tool, String by) {}

  /**
   * An offset that was entered.
   *
   * @param at when it was told
   * @param afterBores the bores of the life before it
   * @param diameter the change on diameter
   * @param by who told it
   */
  record Offset(Instant at, int afterBores, Length diameter, String by) {}

  /**
   * What a watch or a verdict saw, as often as it did.
   *
   * @param first when it was first seen
   * @param last when it was last seen
   * @param times how often
   * @param finding as it was last seen
   * @param wouldHaveHeld whether it asks for a hold and is watch-only
   */
  record Seen(Instant first, Instant last, int times, Finding finding, boolean wouldHaveHeld) {}

  ToolLife(Feature feature, String stream, Optional<Begun> begun) {
    this.feature = feature;
    this.stream = stream;
    this.begun = begun;
  }

  void found(Instant at, Finding finding, boolean wouldHaveHeld) {
    findings.merge(
        finding.key(),
        new Seen(at, at, 1, finding, wouldHaveHeld),
        (old, now) ->
            new Seen(
                old.first(),
                now.last(),
                old.times() + 1,
                finding,
                old.wouldHaveHeld() || wouldHaveHeld));
  }

  /** Whether it was seen from one tool change to the next. */
  boolean whole() {
    return begun.isPresent() && ended.isPresent() && !cut;
  }
}
