package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.ShiftRules;

/**
 * Reminds of the challenge piece that proves the way from a bore to the cell's stop. That it is due
 * is an alert and nothing else: it withholds no permit. It is due a while after one was seen as
 * what it is, or after the rules first asked for one.
 */
final class ChallengesDue {
  static final String TIMER = "challenge:";

  private ChallengesDue() {}

  /** A start, or other rules. */
  static void again(Work work) {
    for (FeatureState state : List.copyOf(work.features.values())) {
      Feature feature = state.feature();
      ShiftState shift = Shifts.of(work, feature.id());
      if (every(work, feature.id()).isEmpty()) {
        shift.challenged().ifPresent(at -> forget(work, feature.id(), shift));
      } else {
        if (shift.challenged().isEmpty()) {
          work.shifts.put(feature.id(), shift.withChallenged(Optional.of(work.at())));
        }
        look(work, feature.id());
      }
    }
  }

  /** Other rules, without a feature: nothing is due of it any more. */
  static void forgetRemoved(Work work) {
    Map<String, ShiftState> gone = new TreeMap<>(work.shifts);
    gone.keySet().removeAll(work.features.keySet());
    gone.forEach((id, shift) -> shift.challenged().ifPresent(at -> forget(work, id, shift)));
  }

  private static void forget(Work work, String id, ShiftState shift) {
    work.shifts.put(id, shift.withChallenged(Optional.empty()));
    work.effect(new Effect.TimerCleared(TIMER + id));
    Alerts.challengeNotDue(work, id);
  }

  /** A challenge piece was seen as what it is, and held the cell. */
  static void seen(Work work, Feature feature) {
    if (every(work, feature.id()).isPresent()) {
      ShiftState shift = Shifts.of(work, feature.id());
      work.shifts.put(feature.id(), shift.withChallenged(Optional.of(work.at())));
      look(work, feature.id());
    }
  }

  /** Says that one is due, or wakes when it will be. */
  static void look(Work work, String id) {
    Optional<Duration> every = every(work, id);
    Optional<Instant> since = Shifts.of(work, id).challenged();
    if (every.isEmpty() || since.isEmpty()) {
      return;
    }
    Instant due = since.get().plus(every.get());
    if (due.isAfter(work.at())) {
      Alerts.challengeNotDue(work, id);
      work.effect(new Effect.TimerSet(TIMER + id, Duration.between(work.at(), due)));
    } else {
      Alerts.challengeDue(work, work.feature(id).feature(), since.get());
    }
  }

  private static Optional<Duration> every(Work work, String id) {
    return work.rules.flatMap(rules -> rules.shift(id)).flatMap(ShiftRules::challengeEvery);
  }
}
