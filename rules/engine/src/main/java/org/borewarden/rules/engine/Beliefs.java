package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.gauge.Doubt;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.BeliefCheck;
import org.borewarden.rules.part.BeliefCheck.Outcome;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.reading.Reading;

/** Whether a reading is believed before it is judged. */
final class Beliefs {
  /** Begins the note of a bore under way that holds a reading for which it is withheld. */
  private static final String WITHHELD_FOR = "withheld-for-";

  private Beliefs() {}

  /**
   * Whether a reading is the one before it once more, which is then told and counts nowhere. The
   * reading that stands is remembered, so that a gauge that goes on sending the same is heard again
   * after each such time.
   */
  static Optional<Doubt> bounce(Work work, Reading reading) {
    Optional<BeliefCheck.Bounce> check =
        checks(work, reading.gauge()).stream()
            .filter(BeliefCheck.Bounce.class::isInstance)
            .map(BeliefCheck.Bounce.class::cast)
            .findFirst();
    if (check.isEmpty()) {
      return Optional.empty();
    }
    String key = reading.gauge() + reading.input().map(input -> "/" + input).orElse("");
    LastReading before = work.lastReadings.get(key);
    Reading plain = reading.at(Optional.empty());
    if (before != null && before.reading().equals(plain)) {
      Duration since = Duration.between(before.at(), work.at());
      if (!since.isNegative() && since.compareTo(check.get().within()) < 0) {
        return Optional.of(
            new Doubt(
                Doubt.BOUNCE,
                check.get().then(),
                "expected no second reading within "
                    + check.get().within().toMillis()
                    + " ms, found the same one after "
                    + since.toMillis()
                    + " ms"));
      }
    }
    work.lastReadings.put(key, new LastReading(plain, work.at()));
    return Optional.empty();
  }

  /** The gravest doubt of a reading. */
  static Optional<Doubt> of(Work work, Feature feature, Reading reading, Optional<Doubt> bounce) {
    Optional<Doubt> own =
        work.rules
            .flatMap(rules -> rules.gauge(reading.gauge()))
            .flatMap(gauge -> Doubt.of(gauge, feature, reading));
    return bounce
        .filter(b -> own.isEmpty() || b.then().compareTo(own.get().then()) >= 0)
        .or(() -> own);
  }

  /**
   * The reading counts nowhere; one that is not just a bounce and out of limit asks for a person.
   */
  static void rejected(Work work, Reading reading, Optional<Feature> feature, Doubt doubt) {
    work.decide(
        new Decision.ReadingDisbelieved(
            reading.gauge(), work.seq(), reading, doubt.why(), doubt.words()));
    Gauges.disbelieved(work, reading.gauge());
    if (feature.isPresent() && !doubt.why().equals(Doubt.BOUNCE)) {
      FeatureState state = work.feature(feature.get().id());
      Verdict wouldBe = Judge.judge(state.acceptance(), reading.value()).verdict();
      if (wouldBe.isOut()) {
        long part = Judging.partOf(work, state, Judging.context(work, feature.get()));
        Findings.take(
            work, feature.get(), List.of(Outs.notJudged(feature.get(), part, wouldBe)), List.of());
      }
    }
  }

  /** The note that a doubt leaves at a bore under way. */
  static String note(Doubt doubt) {
    return doubt.then() == Outcome.WITHHOLD ? WITHHELD_FOR + doubt.why() : doubt.why();
  }

  /** Why a bore is withheld for one of its readings. */
  static Optional<String> withheld(List<String> notes) {
    return notes.stream()
        .filter(note -> note.startsWith(WITHHELD_FOR))
        .map(note -> note.substring(WITHHELD_FOR.length()))
        .findFirst();
  }

  private static List<BeliefCheck> checks(Work work, String gauge) {
    return work.rules
        .flatMap(rules -> rules.gauge(gauge))
        .map(GaugeRules::believe)
        .orElse(List.of());
  }
}
