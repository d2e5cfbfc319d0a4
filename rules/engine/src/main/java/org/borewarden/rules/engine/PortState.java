package org.borewarden.rules.engine;

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
 */
record PortState(
    boolean connected,
    List<String> gauges,
    boolean asked,
    String detail,
    Optional<String> bookmark) {
  PortState {
    gauges = List.copyOf(gauges);
  }

  /** A port that is being opened; one of that name before it may have left a bookmark. */
  static PortState starting(Event.Port port, Optional<PortState> before) {
    return new PortState(
        false, port.gauges(), port.asked(), "starting", before.flatMap(PortState::bookmark));
  }

  PortState changed(boolean other, List<String> behind, String words) {
    return new PortState(other, behind, asked, words, bookmark);
  }

  PortState read(String end) {
    return new PortState(connected, gauges, asked, detail, Optional.of(end));
  }
}
