package org.borewarden.agent.report;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.judge.Verdict;

/** What became no bore, or no bore that counts, in the span. Used by one thread. */
final class Losses {
  private final Wanted wanted;
  private final TreeMap<Lost, Long> counts = new TreeMap<>();
  private final List<Slip> slips = new ArrayList<>();
  private final List<ByHand> byHand = new ArrayList<>();

  Losses(Wanted wanted) {
    this.wanted = wanted;
  }

  /**
   * What was lost of one kind.
   *
   * @param kind a key, such as {@code rejected} or {@code withheld}
   * @param of the gauge or feature
   * @param why a key
   */
  record Lost(String kind, String of, String why) implements Comparable<Lost> {
    @Override
    public int compareTo(Lost other) {
      return (kind + " " + of + " " + why).compareTo(other.kind + " " + other.of + " " + other.why);
    }
  }

  /**
   * Something that a person did to bores.
   *
   * @param at when
   * @param kind {@code measured-again} or {@code skipped}
   * @param feature the feature
   * @param detail the place, or why
   * @param by who
   */
  record Slip(Instant at, String kind, String feature, String detail, String by) {}

  /**
   * A verdict without a number.
   *
   * @param at when
   * @param judged what was found, by whom
   */
  record ByHand(Instant at, Decision.AttributeJudged judged) {}

  void hear(Heard heard) {
    if (!wanted.holds(heard.at())) {
      return;
    }
    if (heard.event().event() instanceof Event.FrameRejected rejected) {
      count("rejected", rejected.gauge(), rejected.why(), 1 + rejected.unpublished());
    }
    heard.taken().ifPresent(command -> ordered(heard.at(), command));
    heard.decisions().forEach(decision -> decided(heard.at(), decision));
  }

  private void ordered(Instant at, Command command) {
    if (command.order() instanceof Order.MeasureAgain again) {
      slips.add(
          new Slip(
              at, "measured-again", again.feature(), again.place().orElse(""), Heard.by(command)));
    }
  }

  private void decided(Instant at, Decision decision) {
    if (decision instanceof Decision.BoreJudged judged && wanted.wants(judged.feature())) {
      if (judged.judgement().verdict() == Verdict.WITHHELD) {
        String why = String.join(" ", judged.judgement().cautions());
        count("withheld", judged.feature().id(), why.isEmpty() ? "-" : why, 1);
      }
    } else if (decision instanceof Decision.ReadingDisbelieved not) {
      count("disbelieved", not.gauge(), not.why(), 1);
    } else if (decision instanceof Decision.ReadingUnassigned none) {
      count("unassigned", none.gauge(), "no-feature", 1);
    } else if (decision instanceof Decision.ReadingSetAside aside) {
      count("set-aside", aside.feature(), aside.why(), 1);
    } else if (decision instanceof Decision.NotJudged not) {
      count("not-judged", not.feature(), not.fault(), 1);
    } else if (decision instanceof Decision.FeatureSkipped skipped) {
      slips.add(new Slip(at, "skipped", skipped.feature(), skipped.reason(), skipped.by()));
    } else if (decision instanceof Decision.AttributeJudged judged
        && wanted.wants(judged.feature())) {
      byHand.add(new ByHand(at, judged));
    }
  }

  private void count(String kind, String of, String why, long more) {
    counts.merge(new Lost(kind, of, why), more, Long::sum);
  }

  Map<Lost, Long> counts() {
    return counts;
  }

  List<Slip> slips() {
    return slips;
  }

  List<ByHand> byHand() {
    return byHand;
  }
}
