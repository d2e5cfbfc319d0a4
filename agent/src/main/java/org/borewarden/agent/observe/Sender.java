package org.borewarden.agent.observe;

import io.micrometer.core.instrument.Clock;
import io.micrometer.core.instrument.MeterRegistry;
import io.micrometer.core.ipc.http.HttpUrlConnectionSender;
import io.micrometer.registry.otlp.OtlpConfig;
import io.micrometer.registry.otlp.OtlpHttpMetricsSender;
import io.micrometer.registry.otlp.OtlpMeterRegistry;
import io.micrometer.registry.otlp.OtlpMetricsSender;
import java.time.Duration;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Sends metrics on a thread of its own. A receiver that does not answer costs that thread at most
 * two waits of {@link #WAIT}; nothing else waits for it, and the next sending tells the counts as
 * they are then.
 */
final class Sender implements AutoCloseable {
  private static final Duration WAIT = Duration.ofSeconds(2);
  private static final int LONGEST_WORDS = 200;
  private static final String FAULT = "otlp";
  private static final Logger LOG = LoggerFactory.getLogger(Sender.class);

  private final FirstOf faults = new FirstOf(LOG, System::nanoTime);
  private final OtlpMetricsSender http =
      new OtlpHttpMetricsSender(new HttpUrlConnectionSender(WAIT, WAIT));
  private final Sending to;
  private final Runnable refresh;
  private final OtlpMeterRegistry registry;
  private volatile boolean closed;

  Sender(Sending to, Runnable refresh) {
    this.to = to;
    this.refresh = refresh;
    this.registry =
        OtlpMeterRegistry.builder(config(to)).clock(Clock.SYSTEM).metricsSender(this::send).build();
  }

  private static OtlpConfig config(Sending to) {
    return new OtlpConfig() {
      @Override
      public @Nullable String get(String key) {
        return null;
      }

      @Override
      public String url() {
        return to.url().toString();
      }

      @Override
      public Duration step() {
        return to.every();
      }

      /** Those of the environment are not ours to send. */
      @Override
      public Map<String, String> headers() {
        return Map.of();
      }

      @Override
      public Map<String, String> resourceAttributes() {
        return Map.of(
            "service.name", "borewarden",
            "service.instance.id", to.agent(),
            "service.version", to.version());
      }
    };
  }

  MeterRegistry registry() {
    return registry;
  }

  /** On the registry's thread. */
  private void send(OtlpMetricsSender.Request request) {
    if (closed) {
      return;
    }
    try {
      http.send(request);
      faults.over(FAULT, "metrics are sent to " + to.url() + " again");
    } catch (Exception refused) {
      faults.warn(FAULT, "metrics could not be sent to " + to.url() + ": " + words(refused));
    }
    // Levels that are computed on demand are then at most one sending old.
    refresh.run();
  }

  /** They may quote what the receiver answered, which has no bound. */
  private static String words(Exception refused) {
    String all = String.valueOf(refused.getMessage());
    return all.length() <= LONGEST_WORDS ? all : all.substring(0, LONGEST_WORDS) + "...";
  }

  /** Without a last sending: a stop must not wait for a receiver. */
  @Override
  public void close() {
    closed = true;
    registry.close();
  }
}
