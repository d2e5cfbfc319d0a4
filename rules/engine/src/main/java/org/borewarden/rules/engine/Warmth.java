package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
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
    Length correction = expansion.get().correction(feature.nominal(), at.get());
    double u = expansion.get().corrected(feature.nominal(), at.get(), known.get());
    Reading corrected = reading.withValue(reading.value().plus(correction));
    work.decide(
        new Decision.ReadingCorrected(
            reading.gauge(),
            work.seq(),
            reading,
            corrected.value(),
            correction,
            at.get(),
            new Length((long) Math.ceil(u))));
    Acceptance acceptance =
        Acceptance.of(feature.limits(), feature.ruleBeside(u)).withCaution(CORRECTED);
    return new Judged(corrected, acceptance);
  }

  static void said(Work work, Order.Temperature order) {
    work.temperatures.put(
        order.gauge(),
        work.temperatures
            .getOrDefault(order.gauge(), GaugeTemperatures.NONE)
            .with(order, work.at()));
  }

  /** A ring that is warmer or colder than the one before it says nothing of the new mastering. */
  static void mastered(Work work, String gauge) {
    work.temperatures.computeIfPresent(gauge, (id, known) -> known.mastered());
  }
}
