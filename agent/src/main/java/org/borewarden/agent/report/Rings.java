package org.borewarden.agent.report;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.part.Ring;

/** What the rings said of the gauges, and which bores must be measured again. One thread. */
final class Rings {
  private final Wanted wanted;
  private final List<Checked> checks = new ArrayList<>();
  private final Map<Long, Checked> bySeq = new TreeMap<>();
  private final Map<Long, Mastered> masterings = new TreeMap<>();
  private final Map<Long, Window> windows = new TreeMap<>();
  private final Set<Long> withdrawn = new HashSet<>();
  private final Map<String, Long> lastBore = new TreeMap<>();

  Rings(Wanted wanted) {
    this.wanted = wanted;
  }

  /**
   * A ring check.
   *
   * @param at when its last reading was taken
   * @param gauge the gauge
   * @param check its readings
   * @param ring the ring as the rules named it then
   * @param asLeft whether it shows how the gauge was left after it was set
   */
  record Checked(Instant at, String gauge, RingCheck check, Optional<Ring> ring, boolean asLeft) {}

  /**
   * A gauge was set to its ring.
   *
   * @param at when that was told
   * @param gauge the gauge
   * @param by who told it
   */
  record Mastered(Instant at, String gauge, String by) {}

  /**
   * A suspect window.
   *
   * @param seq its seq
   * @param at when it was found
   * @param decision the window
   */
  record Window(long seq, Instant at, Decision.WindowSuspected decision) {}

  void hear(Heard heard) {
    heard
        .taken()
        .filter(command -> command.order() instanceof Order.Mastered)
        .ifPresent(
            command ->
                masterings.put(
                    heard.event().seq(),
                    new Mastered(
                        heard.at(),
                        ((Order.Mastered) command.order()).gauge(),
                        Heard.by(command))));
    for (int i = 0; i < heard.decisions().size(); i++) {
      decided(heard, heard.seqOf(i), heard.decisions().get(i));
    }
  }

  private void decided(Heard heard, long seq, Decision decision) {
    if (decision instanceof Decision.RingChecked ring) {
      Checked checked =
          new Checked(
              heard.at(),
              ring.gauge(),
              ring.check(),
              heard.state().rules().flatMap(rules -> rules.ring(ring.check().ring())),
              ring.asLeft());
      bySeq.put(ring.check().seq(), checked);
      bySeq.put(seq, checked);
      if (wanted.holds(heard.at())) {
        checks.add(checked);
      }
    } else if (decision instanceof Decision.WindowSuspected suspected) {
      windows.put(seq, new Window(seq, heard.at(), suspected));
    } else if (decision instanceof Decision.WindowWithdrawn gone) {
      withdrawn.add(gone.window());
    } else if (decision instanceof Decision.BoreJudged judged) {
      lastBore.put(key(judged.feature().id(), judged.bore().part()), seq);
    }
  }

  private static String key(String feature, long part) {
    return feature + "/" + part;
  }

  List<Checked> checks() {
    return checks;
  }

  Optional<Checked> check(long seq) {
    return Optional.ofNullable(bySeq.get(seq));
  }

  Optional<Mastered> mastering(long seq) {
    return Optional.ofNullable(masterings.get(seq));
  }

  /** The windows that were found in the span, and older ones with bores still to measure. */
  List<Window> windows() {
    return windows.values().stream()
        .filter(window -> wanted.holds(window.at()) || !owed(window).isEmpty())
        .toList();
  }

  boolean withdrawn(Window window) {
    return withdrawn.contains(window.seq());
  }

  /** The bores of a window that were not measured again since; none of a withdrawn one. */
  List<SuspectWindow.Suspect> owed(Window window) {
    return withdrawn(window)
        ? List.of()
        : window.decision().window().listed().stream()
            .filter(suspect -> !measuredSince(window, suspect))
            .toList();
  }

  boolean measuredSince(Window window, SuspectWindow.Suspect suspect) {
    Long last = lastBore.get(key(suspect.bore().feature(), suspect.bore().part()));
    return last != null && last > window.seq();
  }
}
