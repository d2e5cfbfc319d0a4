package org.borewarden.agent.observe;

import io.micrometer.core.instrument.Counter;
import io.micrometer.core.instrument.FunctionCounter;
import io.micrometer.core.instrument.Gauge;
import io.micrometer.core.instrument.Meter;
import io.micrometer.core.instrument.MeterRegistry;
import io.micrometer.core.instrument.Tags;
import io.micrometer.core.instrument.Timer;
import io.prometheus.metrics.core.metrics.Info;
import io.prometheus.metrics.model.registry.PrometheusRegistry;
import java.time.Duration;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.DoubleSupplier;
import java.util.function.ToDoubleFunction;

/** Makes each meter once and keeps it, by its metric and label values. Any thread. */
final class Meters {
  /**
   * Distinct values that a label of our own keys may take; the rest is counted as {@link #OTHER}.
   */
  static final int LABEL_VALUES_AT_MOST = 32;

  /** Stands for label values beyond the limit, or outside the list that is known. */
  static final String OTHER = "other";

  private final MeterRegistry registry;
  private final PrometheusRegistry infos;
  private final Map<Series, Level> levels = new ConcurrentHashMap<>();
  private final Map<Series, Counter> counters = new ConcurrentHashMap<>();
  private final Map<Series, Timer> timers = new ConcurrentHashMap<>();
  private final Map<Metric, Set<String>> boundedValues = new ConcurrentHashMap<>();

  Meters(MeterRegistry registry, PrometheusRegistry infos) {
    this.registry = registry;
    this.infos = infos;
  }

  Level level(Metric metric, String... labelValues) {
    return levels.computeIfAbsent(
        series(metric, labelValues), s -> new Level(registry, metric, s.tags()));
  }

  Counter counter(Metric metric, String... labelValues) {
    return counters.computeIfAbsent(
        series(metric, labelValues),
        s ->
            Counter.builder(metric.exposedName())
                .description(metric.help())
                .tags(s.tags())
                .register(registry));
  }

  Timer timer(Metric metric, List<Duration> buckets, String... labelValues) {
    return timers.computeIfAbsent(
        series(metric, labelValues),
        s ->
            Timer.builder(metric.exposedName())
                .description(metric.help())
                .tags(s.tags())
                .serviceLevelObjectives(buckets.toArray(Duration[]::new))
                .register(registry));
  }

  /** A level that is computed when it is scraped, on the scraping thread. */
  void computed(Metric metric, DoubleSupplier value, String... labelValues) {
    Gauge.builder(metric.exposedName(), value::getAsDouble)
        .description(metric.help())
        .tags(series(metric, labelValues).tags())
        .strongReference(true)
        .register(registry);
  }

  /** A counter whose total is kept elsewhere; the owner must be kept by the caller. */
  <T> void total(Metric metric, T owner, ToDoubleFunction<T> total, String... labelValues) {
    FunctionCounter.builder(metric.exposedName(), owner, total)
        .description(metric.help())
        .tags(series(metric, labelValues).tags())
        .register(registry);
  }

  /** An info metric; made past Micrometer, whose naming takes {@code _info} off a gauge's name. */
  Info info(Metric metric) {
    return Info.builder()
        .name(metric.exposedName())
        .help(metric.help())
        .labelNames(metric.labels().toArray(String[]::new))
        .register(infos);
  }

  /** Takes all series out of the scrape whose first label has this value. */
  void forget(Metric metric, String firstLabelValue) {
    levels.forEach(
        (series, level) -> {
          if (series.isOf(metric, firstLabelValue)) {
            level.clear();
          }
        });
    forget(counters, metric, firstLabelValue);
  }

  private <M extends Meter> void forget(Map<Series, M> meters, Metric metric, String value) {
    meters.forEach(
        (series, meter) -> {
          if (series.isOf(metric, value) && meters.remove(series, meter)) {
            registry.remove(meter);
          }
        });
  }

  /**
   * A label value of a list that is short by its nature, cut off should it ever grow: a label must
   * not be a way to fill the memory.
   */
  String bounded(Metric metric, String value) {
    Set<String> seen = boundedValues.computeIfAbsent(metric, m -> new HashSet<>());
    synchronized (seen) {
      if (seen.contains(value)) {
        return value;
      }
      return seen.size() < LABEL_VALUES_AT_MOST && seen.add(value) ? value : OTHER;
    }
  }

  private static Series series(Metric metric, String... labelValues) {
    if (labelValues.length != metric.labels().size()) {
      throw new IllegalArgumentException(
          metric
              + ": expected label values for "
              + metric.labels()
              + ", found "
              + labelValues.length);
    }
    return new Series(metric, List.of(labelValues));
  }

  private record Series(Metric metric, List<String> values) {
    boolean isOf(Metric other, String firstValue) {
      return metric == other && values.get(0).equals(firstValue);
    }

    Tags tags() {
      Tags tags = Tags.empty();
      for (int i = 0; i < values.size(); i++) {
        tags = tags.and(metric.labels().get(i), values.get(i));
      }
      return tags;
    }
  }
}
