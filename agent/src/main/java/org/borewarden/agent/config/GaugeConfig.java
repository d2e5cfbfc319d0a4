package org.borewarden.agent.config;

import java.util.Optional;
import org.borewarden.rules.measure.Unit;

/**
 * A gauge.
 *
 * @param id its name on topics
 * @param port the port that it hangs on
 * @param input what the frame's input group says for this gauge, where several share a port
 * @param unit the unit of its values, where the frame does not say
 * @param capture how a reading is made of its samples, where it never stops sending them
 */
public record GaugeConfig(
    String id,
    String port,
    Optional<String> input,
    Optional<Unit> unit,
    Optional<CaptureConfig> capture) {
  /**
   * A gauge of which each frame is a reading.
   *
   * @param id its name on topics
   * @param port the port that it hangs on
   * @param input what the frame's input group says for this gauge, where several share a port
   * @param unit the unit of its values, where the frame does not say
   */
  public GaugeConfig(String id, String port, Optional<String> input, Optional<Unit> unit) {
    this(id, port, input, unit, Optional.empty());
  }
}
