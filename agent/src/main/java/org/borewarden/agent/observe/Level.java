package org.borewarden.agent.observe;

import io.micrometer.core.instrument.Gauge;
import io.micrometer.core.instrument.MeterRegistry;
import io.micrometer.core.instrument.Tags;
import java.time.Instant;
import org.jspecify.annotations.Nullable;

/**
 * A value that goes up and down. It stands in the scrape from the first {@link #set} to {@link
 * #clear}, so that what is not known is absent instead of a zero or NaN. Any thread.
 */
final class Level {
  private final MeterRegistry registry;
  private final Metric metric;
  private final Tags tags;
  private volatile double value;
  private @Nullable Gauge shown;

  Level(MeterRegistry registry, Metric metric, Tags tags) {
    this.registry = registry;
    this.metric = metric;
    this.tags = tags;
  }

  synchronized void set(double newValue) {
    value = newValue;
    if (shown == null) {
      // The registry would otherwise hold this weakly, and show NaN after a collection.
      shown =
          Gauge.builder(metric.exposedName(), this, level -> level.value)
              .description(metric.help())
              .tags(tags)
              .strongReference(true)
              .register(registry);
    }
  }

  void set(boolean yes) {
    set(yes ? 1 : 0);
  }

  void set(Instant at) {
    set(seconds(at));
  }

  /** Sets a time unless an earlier one is shown. */
  synchronized void lower(Instant at) {
    double wanted = seconds(at);
    if (shown == null || wanted < value) {
      set(wanted);
    }
  }

  private static double seconds(Instant at) {
    return at.getEpochSecond() + at.getNano() / 1e9;
  }

  synchronized void clear() {
    if (shown != null) {
      registry.remove(shown);
      shown = null;
    }
  }
}
