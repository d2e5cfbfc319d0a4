package org.borewarden.agent.capture;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import org.borewarden.agent.config.GaugeConfig;

/** The captures of the gauges of one port. Used by the source's thread. */
public final class Captures {
  private final Map<String, Capture> byGauge = new HashMap<>();

  /**
   * The captures that the gauges ask for.
   *
   * @param gauges the gauges of the port
   * @param partAtGauge whether a cell says that a part is in front of the gauge
   */
  public Captures(List<GaugeConfig> gauges, Predicate<String> partAtGauge) {
    for (GaugeConfig gauge : gauges) {
      gauge.capture().ifPresent(c -> byGauge.put(gauge.id(), Capture.of(c, partAtGauge)));
    }
  }

  /**
   * The capture of a gauge.
   *
   * @param gauge its id
   * @return empty for a gauge of which each frame is a reading
   */
  public Optional<Capture> of(String gauge) {
    return Optional.ofNullable(byGauge.get(gauge));
  }

  /** Some frame of the port could not be read, and may have been a sample of any of its gauges. */
  public void missing() {
    byGauge.values().forEach(Capture::missing);
  }

  /**
   * The link was lost or opened.
   *
   * @return by gauge, what stays in a bore were cut off by that
   */
  public Map<String, Caught.Missed> gap() {
    Map<String, Caught.Missed> all = new HashMap<>();
    byGauge.forEach(
        (gauge, capture) ->
            capture
                .gap()
                .filter(Caught.Missed.class::isInstance)
                .map(Caught.Missed.class::cast)
                .ifPresent(missed -> all.put(gauge, missed)));
    return all;
  }
}
