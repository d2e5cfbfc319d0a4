package org.borewarden.rules.engine;

import java.time.Instant;
import java.util.Optional;
import org.borewarden.rules.gauge.TruthView;

/**
 * What is known of a gauge.
 *
 * @param gauge its id
 * @param connected whether its port is open
 * @param detail the port's state in words
 * @param lastReading when it last gave a value
 * @param readings how many values it gave since the journal began
 * @param rejected how many of its frames were rejected since the journal began
 * @param batteryLow whether it said last that its battery is low; absent where it says nothing of
 *     it
 * @param truth what its ring says of it, where it is checked on one
 * @param turn whose turn it is, where it measures its features in sequence
 */
public record GaugeView(
    String gauge,
    boolean connected,
    String detail,
    Optional<Instant> lastReading,
    long readings,
    long rejected,
    Optional<Boolean> batteryLow,
    Optional<TruthView> truth,
    Optional<TurnView> turn) {
  static GaugeView unknown(String gauge) {
    return new GaugeView(
        gauge,
        false,
        "never seen",
        Optional.empty(),
        0,
        0,
        Optional.empty(),
        Optional.empty(),
        Optional.empty());
  }

  GaugeView gave(Instant at, Optional<Boolean> battery) {
    return new GaugeView(
        gauge,
        true,
        connected ? detail : "connected",
        Optional.of(at),
        readings + 1,
        rejected,
        battery.or(() -> batteryLow),
        truth,
        turn);
  }

  GaugeView withRejected(long more) {
    return new GaugeView(
        gauge, connected, detail, lastReading, readings, rejected + more, batteryLow, truth, turn);
  }

  GaugeView changed(boolean other, String words) {
    return new GaugeView(
        gauge, other, words, lastReading, readings, rejected, batteryLow, truth, turn);
  }

  GaugeView withTruth(Optional<TruthView> other) {
    return new GaugeView(
        gauge, connected, detail, lastReading, readings, rejected, batteryLow, other, turn);
  }

  GaugeView withTurn(Optional<TurnView> other) {
    return new GaugeView(
        gauge, connected, detail, lastReading, readings, rejected, batteryLow, truth, other);
  }
}
