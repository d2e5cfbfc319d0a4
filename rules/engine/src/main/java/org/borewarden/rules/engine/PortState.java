package org.borewarden.rules.engine;

import java.util.List;

/**
 * What is remembered of a port.
 *
 * @param connected whether bytes can come
 * @param gauges the gauges behind it
 * @param detail its state in words
 */
record PortState(boolean connected, List<String> gauges, String detail) {
  PortState {
    gauges = List.copyOf(gauges);
  }
}
