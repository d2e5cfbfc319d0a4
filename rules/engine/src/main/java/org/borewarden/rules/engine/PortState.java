package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;

/**
 * What is remembered of a port.
 *
 * @param connected whether bytes can come
 * @param gauges the gauges behind it
 * @param asked whether its gauge says nothing unless a command asks it
 * @param detail its state in words
 * @param bookmark where in its source the last reading ended, for a source that goes on there
 * @param onSince since when the gauges are on, as far as this start of the agent knows; a short
 *     loss of the line cools nothing
 * @param lostAt when it was lost
 */
record PortState(
    boolean connected,
    List<String> gauges,
    boolean asked,
    String detail,
    Optional<String> bookmark,
    Optional<Instant> onSince,
    Optional<Instant> lostAt) {
  /** A loss that is no longer leaves a gauge as warm as it was (common practice, no source). */
  static final Duration SHORT_LOSS = Duration.ofMinutes(5);

  PortState {
    gauges = List.copyOf(gauges);
  }

  /** A port that is being opened; one of that name before it may have left a bookmark. */
  static PortState starting(Event.Port port, Optional<PortState> before) {
    return new PortState(
        false,
        port.gauges(),
        port.asked(),
        "starting",
        before.flatMap(PortState::bookmark),
        Optional.empty(),
        Optional.empty());
  }

  PortState changed(boolean other, List<String> behind, String words, Instant at) {
    boolean brief =
        onSince.isPresent()
            && lostAt.filter(lost -> !at.isAfter(lost.plus(SHORT_LOSS))).isPresent();
    Optional<Instant> on = other && !connected && !brief ? Optional.of(at) : onSince;
    Optional<Instant> lost = other ? Optional.empty() : lostAt.or(() -> Optional.of(at));
    return new PortState(other, behind, asked, words, bookmark, on, lost);
  }

  PortState read(String end) {
    return new PortState(connected, gauges, asked, detail, Optional.of(end), onSince, lostAt);
  }
}
