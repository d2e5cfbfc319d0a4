package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.reading.Reading;
import org.borewarden.rules.uncertainty.Expansion;
import org.borewarden.rules.uncertainty.Temperatures;

/**
 * Corrects readings to 20 degrees Celsius, where the rules ask for it and temperatures are known.
 */
final class Warmth {
  /** The caution beside a verdict of a size that was corrected. */
  static final String CORRECTED = "corrected-to-20-degc";

  /** The caution beside a verdict that should have been corrected: the range went into u. */
  static final String NOT_CORRECTED = "no-fresh-temperature";

  private Warmth() {}

  /**
   * A reading as it is judged.
   *
   * @param reading with the corrected value
   * @param acceptance the limits with the uncertainty of such a value
   */
  record Judged(Reading reading, Acceptance acceptance) {}

  static Judged of(Work work, Feature feature, Acceptance uncorrected, Reading reading) {
    Optional<Expansion> expansion = feature.assurance().temperature();
    Optional<Expansion.Correction> known = expansion.flatMap(Expansion::correction);
    if (expansion.isEmpty() || known.isEmpty()) {
      return new Judged(reading, uncorrected);
    }
    Optional<Temperatures> at =
        work.temperatures
            .getOrDefault(reading.gauge(), GaugeTemperatures.NONE)
            .at(work.at(), known.get().oldest());
    if (at.isEmpty()) {
      return new Judged(reading, uncorrected.withCaution(NOT_CORRECTED));
    }
    double u = expansion.get().corrected(feature.nominal(), at.get(), known.get());
    Reading corrected = corrected(work, reading, expansion.get(), feature.nominal(), at.get(), u);
    Acceptance acceptance =
        Acceptance.of(feature.limits(), feature.ruleBeside(u)).withCaution(CORRECTED);
    return new Judged(corrected, acceptance);
  }

  /**
   * A reading of a ring, corrected where the rules ask it of a feature of the gauge and the ring's
   * temperature was said, at mastering and in this check.
   */
  static Reading onRing(Work work, String ring, Reading reading) {
    Optional<Expansion> expansion =
        work.rules.stream()
            .flatMap(rules -> rules.features().stream())
            .filter(feature -> feature.gauge().equals(reading.gauge()))
            .flatMap(feature -> feature.assurance().temperature().stream())
            .filter(e -> e.correction().isPresent())
            .findFirst();
    Optional<Length> size = work.rules.flatMap(rules -> rules.ring(ring)).map(Ring::size);
    if (expansion.isEmpty() || size.isEmpty()) {
      return reading;
    }
    Expansion ofRing = expansion.get().ofRing();
    Expansion.Correction known = ofRing.correction().orElseThrow();
    return work.temperatures
        .getOrDefault(reading.gauge(), GaugeTemperatures.NONE)
        .onRing(work.at(), known.oldest())
        .map(
            at ->
                corrected(
                    work, reading, ofRing, size.get(), at, ofRing.corrected(size.get(), at, known)))
        .orElse(reading);
  }

  private static Reading corrected(
      Work work,
      Reading reading,
      Expansion expansion,
      Length nominal,
      Temperatures at,
      double uncertainty) {
    Length correction = expansion.correction(nominal, at);
    Reading corrected = reading.withValue(reading.value().plus(correction));
    work.decide(
        new Decision.ReadingCorrected(
            reading.gauge(),
            work.seq(),
            reading,
            corrected.value(),
            correction,
            at,
            new Length((long) Math.ceil(uncertainty))));
    return corrected;
  }

  static void said(Work work, Order.Temperature order) {
    GaugeTemperatures known = work.temperatures.getOrDefault(order.gauge(), GaugeTemperatures.NONE);
    boolean inCheck =
        Truths.truth(work, order.gauge()).session().filter(s -> s.mastered().isEmpty()).isPresent();
    work.temperatures.put(
        order.gauge(), inCheck ? known.inCheck(order, work.at()) : known.with(order, work.at()));
  }

  /** A ring is put on the gauge to check it. */
  static void checkBegins(Work work, String gauge) {
    work.temperatures.computeIfPresent(gauge, (id, known) -> known.checkBegins());
  }

  /** A ring that is warmer or colder than the one before it says nothing of the new mastering. */
  static void mastered(Work work, String gauge) {
    work.temperatures.computeIfPresent(gauge, (id, known) -> known.mastered());
  }
}
