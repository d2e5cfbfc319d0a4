package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;

/**
 * What is remembered of a port.
 *
 * @param connected whether bytes can come
 * @param gauges the gauges behind it
 * @param detail its state in words
 * @param bookmark where in its source the last reading ended, for a source that goes on there
 */
record PortState(boolean connected, List<String> gauges, String detail, Optional<String> bookmark) {
  PortState {
    gauges = List.copyOf(gauges);
  }

  /** A port that is being opened; one of that name before it may have left a bookmark. */
  static PortState starting(List<String> gauges, Optional<PortState> before) {
    return new PortState(false, gauges, "starting", before.flatMap(PortState::bookmark));
  }

  PortState changed(boolean other, List<String> behind, String words) {
    return new PortState(other, behind, words, bookmark);
  }

  PortState read(String end) {
    return new PortState(connected, gauges, detail, Optional.of(end));
  }
}
