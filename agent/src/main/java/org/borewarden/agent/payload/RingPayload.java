package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/**
 * A check of a gauge on a ring, in the journal and in a suspect window.
 *
 * @param gauge the gauge; absent inside a window, which names it once
 * @param seq the seq of its last reading
 * @param at when that was
 * @param ring the ring
 * @param certified its certified size, mm
 * @param readings the readings, mm
 * @param error mean reading less certified size, mm, six decimals
 * @param spread largest less smallest reading, mm
 * @param passed whether the error was no more than allowed
 * @param asLeft whether it shows how the gauge was left after it was set; absent inside a window
 */
record RingPayload(
    Optional<String> gauge,
    long seq,
    String at,
    String ring,
    BigDecimal certified,
    List<BigDecimal> readings,
    BigDecimal error,
    BigDecimal spread,
    boolean passed,
    Optional<Boolean> asLeft) {
  RingPayload {
    readings = List.copyOf(readings);
  }

  static RingPayload of(Decision.RingChecked checked) {
    return of(checked.check(), Optional.of(checked.gauge()), Optional.of(checked.asLeft()));
  }

  static RingPayload of(RingCheck check) {
    return of(check, Optional.empty(), Optional.empty());
  }

  private static RingPayload of(RingCheck check, Optional<String> gauge, Optional<Boolean> asLeft) {
    return new RingPayload(
        gauge,
        check.seq(),
        Json.time(check.at()),
        check.ring(),
        mm(check.certified()),
        check.readings().stream().map(RingPayload::mm).toList(),
        mm(check.error()),
        mm(check.spread()),
        check.passed(),
        asLeft);
  }

  private static BigDecimal mm(Length length) {
    return Size.whole(length, Unit.MILLIMETRE, 0);
  }

  /** Picometres to millimetres with six decimals: a nanometre is finer than any ring. */
  static BigDecimal mm(double picometres) {
    return Size.in(new Length(Math.round(picometres)), Unit.MILLIMETRE, 6);
  }
}
