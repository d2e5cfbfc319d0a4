package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.judge.Piece;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.Which;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;

/**
 * Of which feature a reading is. By the cell's word, where the rules say so; else by input and
 * size; or in sequence: one feature after the other, and then the next part. A bore that is judged
 * or withheld, a verdict without a number and a feature that is passed over give the turn to the
 * next one that the part still lacks; a person can step forward and back.
 */
final class Rounds {
  private Rounds() {}

  private static Optional<Which> which(Optional<RuleSet> rules, String gauge) {
    return rules.flatMap(r -> r.gauge(gauge)).flatMap(GaugeRules::which);
  }

  private static List<String> order(Optional<RuleSet> rules, String gauge) {
    return which(rules, gauge)
        .filter(Which.InSequence.class::isInstance)
        .map(which -> ((Which.InSequence) which).features())
        .orElse(List.of());
  }

  private static Round of(Work work, String gauge) {
    return work.rounds.getOrDefault(gauge, Round.FRESH);
  }

  /** The feature of which a reading is. */
  static Optional<Feature> featureOf(Work work, Reading reading) {
    if (byCell(work, reading.gauge())) {
      // A piece that a person named comes before what the cell says.
      return own(work, reading.gauge(), feature -> aside(work, feature.id()))
          .or(() -> own(work, reading.gauge(), feature -> isNamed(work, feature)));
    }
    List<String> order = order(work.rules, reading.gauge());
    if (order.isEmpty()) {
      return work.rules.flatMap(rules -> rules.measuredBy(reading));
    }
    // A piece that a person named is at the gauge now; the part whose turn it is comes after it.
    String id =
        order.stream()
            .filter(feature -> aside(work, feature))
            .findFirst()
            .orElse(order.get(of(work, reading.gauge()).at()));
    return Optional.of(work.feature(id).feature());
  }

  private static boolean byCell(Work work, String gauge) {
    return which(work.rules, gauge).filter(Which.ByCell.class::isInstance).isPresent();
  }

  private static Optional<Feature> own(Work work, String gauge, Predicate<Feature> is) {
    return work.features.values().stream()
        .map(FeatureState::feature)
        .filter(feature -> feature.gauge().equals(gauge) && is.test(feature))
        .findFirst();
  }

  private static boolean isNamed(Work work, Feature feature) {
    return feature
        .cell()
        .flatMap(work::cellIfKnown)
        .flatMap(cell -> cell.part().feature())
        .filter(feature.id()::equals)
        .isPresent();
  }

  /** Shows at a gauge that goes by its cell which feature that named, if any. */
  private static void showNamed(Work work, String gauge) {
    Optional<TurnView> turn =
        own(work, gauge, feature -> isNamed(work, feature))
            .map(feature -> new TurnView(feature.id(), 1, 1));
    boolean shown =
        Optional.ofNullable(work.gauges.get(gauge))
            .map(view -> view.turn().equals(turn))
            .orElse(turn.isEmpty());
    if (!shown) {
      Gauges.turn(work, gauge, turn);
    }
  }

  private static boolean aside(Work work, String feature) {
    return Shifts.of(work, feature).next().filter(piece -> !piece.cutNow()).isPresent();
  }

  /**
   * Whether the part at the gauge has had its bore of this feature, so that it is measured again.
   */
  static boolean again(Work work, Feature feature) {
    Round round = of(work, feature.gauge());
    return !round.over() && round.numbered().contains(feature.id());
  }

  /** A feature has what it gets of this part: the next one is asked for. */
  static void done(Work work, Feature feature, Optional<Piece> piece) {
    List<String> order = order(work.rules, feature.gauge());
    Round round = of(work, feature.gauge());
    boolean aside = piece.filter(p -> !p.cutNow()).isPresent();
    if (!order.isEmpty() && !aside && order.get(round.at()).equals(feature.id())) {
      next(work, feature.gauge(), order, round.passed(feature.id()));
    }
  }

  private static void next(Work work, String gauge, List<String> order, Round round) {
    for (int step = 1; step < order.size(); step++) {
      int place = (round.at() + step) % order.size();
      if (!round.passed().contains(order.get(place))) {
        put(work, gauge, order, round.to(place));
        return;
      }
    }
    put(work, gauge, order, round.ended());
  }

  /** A bore was taken back: where it was the last one, its feature has its turn again. */
  static void discarded(Work work, Feature feature) {
    List<String> order = order(work.rules, feature.gauge());
    Round round = of(work, feature.gauge());
    int place = order.indexOf(feature.id());
    boolean busy = order.stream().anyMatch(work.open::containsKey);
    boolean last = place == before(order, round);
    if (place >= 0 && last && !busy && round.passed().contains(feature.id())) {
      put(work, feature.gauge(), order, round.to(place).takenBack(feature.id()));
    }
  }

  private static int before(List<String> order, Round round) {
    return round.over() ? order.size() - 1 : round.at() - 1;
  }

  /** A person passes over the feature whose turn it is. */
  static Reply forward(Work work, Order.StepForward step, String by) {
    List<String> order = order(work.rules, step.gauge());
    if (order.isEmpty()) {
      return none(step.gauge());
    }
    Round round = of(work, step.gauge());
    String feature = order.get(round.at());
    boolean has = !round.over() && round.passed().contains(feature);
    if (has && !work.open.containsKey(feature)) {
      // It has its bore: only its second one is left out.
      next(work, step.gauge(), order, round);
    } else {
      AnswerCode code = Attributes.skip(work, new Order.Skip(feature, step.reason()), by);
      if (code != AnswerCode.ACCEPTED) {
        return Reply.of(code);
      }
    }
    return told(work, step.gauge());
  }

  /** A person measures the feature before again; a bore under way is ended. */
  static Reply back(Work work, Order.StepBack step) {
    List<String> order = order(work.rules, step.gauge());
    if (order.isEmpty()) {
      return none(step.gauge());
    }
    Round round = of(work, step.gauge());
    int place = before(order, round);
    if (place < 0) {
      return new Reply(
          AnswerCode.NOTHING_HELD, "the part's first feature, " + order.get(0) + ", is next");
    }
    String left = order.get(round.at());
    boolean open = work.open.containsKey(left);
    Bores.end(work, work.feature(left).feature(), Bores.End.ASKED);
    Round ended = of(work, step.gauge()).to(place);
    put(work, step.gauge(), order, open ? ended.lacks(left) : ended);
    return told(work, step.gauge());
  }

  private static Reply none(String gauge) {
    return new Reply(AnswerCode.MALFORMED, "expected a gauge with a sequence, found " + gauge);
  }

  private static Reply told(Work work, String gauge) {
    List<String> order = order(work.rules, gauge);
    return new Reply(AnswerCode.ACCEPTED, "next is " + order.get(of(work, gauge).at()));
  }

  /**
   * A person takes the next part; what this one lacks it goes without. False where it lacks all.
   */
  static boolean nextPart(Work work, Feature feature) {
    List<String> order = order(work.rules, feature.gauge());
    Round round = of(work, feature.gauge());
    boolean begun = !order.isEmpty() && !round.over() && !round.passed().isEmpty();
    if (begun) {
      put(work, feature.gauge(), order, Round.FRESH);
    }
    return begun;
  }

  /** The cell, or a person, says that another part is at the gauges of a cell. */
  static void partAtGauge(Work work, String cell, PartContext before) {
    PartContext now = work.cell(cell).part();
    if (!now.feature().equals(before.feature())) {
      work.rules.stream()
          .flatMap(rules -> rules.gauges().stream())
          .map(GaugeRules::id)
          .filter(gauge -> byCell(work, gauge))
          .forEach(gauge -> showNamed(work, gauge));
    }
    boolean other =
        (now.part().isPresent() && !now.part().equals(before.part()))
            || (now.serial().isPresent() && !now.serial().equals(before.serial()));
    if (!other) {
      return;
    }
    for (String gauge : List.copyOf(work.rounds.keySet())) {
      List<String> order = order(work.rules, gauge);
      boolean here =
          order.stream()
              .map(id -> work.feature(id).feature().cell())
              .anyMatch(Optional.of(cell)::equals);
      if (here) {
        put(work, gauge, order, Round.FRESH);
      }
    }
  }

  /** A sequence that is no more, or another, is begun anew. Called when the rules are in force. */
  static void loaded(Work work, Optional<RuleSet> before) {
    for (String gauge : List.copyOf(work.gauges.keySet())) {
      if (order(work.rules, gauge).isEmpty()) {
        Gauges.turn(work, gauge, Optional.empty());
      }
    }
    work.rounds.keySet().removeIf(gauge -> !order(work.rules, gauge).equals(order(before, gauge)));
    work.rules.stream()
        .flatMap(rules -> rules.gauges().stream())
        .map(GaugeRules::id)
        .forEach(
            gauge -> {
              List<String> order = order(work.rules, gauge);
              if (!order.isEmpty()) {
                put(work, gauge, order, of(work, gauge));
              } else if (byCell(work, gauge)) {
                showNamed(work, gauge);
              }
            });
  }

  private static void put(Work work, String gauge, List<String> order, Round round) {
    work.rounds.put(gauge, round);
    TurnView turn = new TurnView(order.get(round.at()), round.at() + 1, order.size());
    Gauges.turn(work, gauge, Optional.of(turn));
  }
}
