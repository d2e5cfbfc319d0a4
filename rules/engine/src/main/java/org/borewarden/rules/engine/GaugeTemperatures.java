package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.uncertainty.Temperatures;

/**
 * The temperatures that were said of a gauge, degrees Celsius. Those of the ring and of the body at
 * mastering stand until the gauge is mastered anew; those of part and body age.
 *
 * @param part the workpieces that it measures
 * @param body its body
 * @param ring the ring at mastering
 * @param bodyAtMastering its body at mastering, where it was said with the ring's
 * @param checked the ring that is on it in a check, said since that check began
 */
record GaugeTemperatures(
    Optional<Said> part,
    Optional<Said> body,
    OptionalDouble ring,
    OptionalDouble bodyAtMastering,
    OptionalDouble checked) {
  /** Nothing was said. */
  static final GaugeTemperatures NONE =
      new GaugeTemperatures(
          Optional.empty(),
          Optional.empty(),
          OptionalDouble.empty(),
          OptionalDouble.empty(),
          OptionalDouble.empty());

  /**
   * A temperature and when it was said.
   *
   * @param celsius degrees Celsius
   * @param at the time of its record
   */
  record Said(double celsius, Instant at) {
    boolean fresh(Instant now, Duration oldest) {
      return !at.plus(oldest).isBefore(now);
    }
  }

  /** What was said stands; what was not said stays as it was. */
  GaugeTemperatures with(Order.Temperature order, Instant at) {
    return new GaugeTemperatures(
        said(order.part(), at).or(() -> part),
        said(order.body(), at).or(() -> body),
        order.ring().isPresent() ? order.ring() : ring,
        order.ring().isPresent() ? order.body() : bodyAtMastering,
        checked);
  }

  /** Said while the gauge is checked on a ring: the ring's is that of this check. */
  GaugeTemperatures inCheck(Order.Temperature order, Instant at) {
    return new GaugeTemperatures(
        said(order.part(), at).or(() -> part),
        said(order.body(), at).or(() -> body),
        ring,
        bodyAtMastering,
        order.ring().isPresent() ? order.ring() : checked);
  }

  /** A check begins: the ring may be another one, or have another temperature. */
  GaugeTemperatures checkBegins() {
    return new GaugeTemperatures(part, body, ring, bodyAtMastering, OptionalDouble.empty());
  }

  private static Optional<Said> said(OptionalDouble celsius, Instant at) {
    return celsius.isPresent()
        ? Optional.of(new Said(celsius.getAsDouble(), at))
        : Optional.empty();
  }

  /** The gauge was mastered anew: what its ring and its body had then is not known any more. */
  GaugeTemperatures mastered() {
    return new GaugeTemperatures(
        part, body, OptionalDouble.empty(), OptionalDouble.empty(), OptionalDouble.empty());
  }

  /** What a correction needs: the part's and the ring's; the body's where both of it are known. */
  Optional<Temperatures> at(Instant now, Duration oldest) {
    Optional<Said> freshPart = part.filter(said -> said.fresh(now, oldest));
    if (freshPart.isEmpty() || ring.isEmpty()) {
      return Optional.empty();
    }
    OptionalDouble since = bodySince(now, oldest);
    return Optional.of(new Temperatures(freshPart.get().celsius(), ring.getAsDouble(), since));
  }

  /** What the correction of a ring check needs: the ring's temperature then and now. */
  Optional<Temperatures> onRing(Instant now, Duration oldest) {
    if (checked.isEmpty() || ring.isEmpty()) {
      return Optional.empty();
    }
    OptionalDouble since = bodySince(now, oldest);
    return Optional.of(new Temperatures(checked.getAsDouble(), ring.getAsDouble(), since));
  }

  private OptionalDouble bodySince(Instant now, Duration oldest) {
    return bodyAtMastering.isPresent()
        ? body.filter(said -> said.fresh(now, oldest)).stream()
            .mapToDouble(said -> said.celsius() - bodyAtMastering.getAsDouble())
            .findFirst()
        : OptionalDouble.empty();
  }
}
