package org.borewarden.agent.decode;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.agent.config.GaugeConfig;

/** The gauges of one port, found by what the frame's input group says. Immutable. */
final class PortGauges {
  private final Map<String, GaugeConfig> byInput = new TreeMap<>();
  private final Optional<GaugeConfig> only;
  private final Optional<GaugeConfig> unnamed;

  PortGauges(List<GaugeConfig> gauges) {
    for (GaugeConfig gauge : gauges) {
      gauge.input().ifPresent(input -> byInput.put(input, gauge));
    }
    this.only = gauges.size() == 1 ? Optional.of(gauges.get(0)) : Optional.empty();
    this.unnamed = gauges.stream().filter(gauge -> gauge.input().isEmpty()).findFirst();
  }

  /** A gauge that stands alone needs no input; one without an input takes frames without one. */
  Optional<GaugeConfig> of(Optional<String> input) {
    if (input.isEmpty()) {
      return unnamed;
    }
    Optional<GaugeConfig> named = Optional.ofNullable(byInput.get(input.get()));
    return named.isPresent() || !byInput.isEmpty() ? named : only;
  }

  /** The gauge that stands alone on its port. */
  Optional<GaugeConfig> only() {
    return only;
  }

  /** The inputs that are known, in words. */
  String inputs() {
    return byInput.isEmpty() ? "no input" : "one of " + String.join(", ", byInput.keySet());
  }
}
