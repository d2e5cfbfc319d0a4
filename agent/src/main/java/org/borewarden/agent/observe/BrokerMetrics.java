package org.borewarden.agent.observe;

import java.time.Duration;
import java.util.List;

/** Shows the broker connections. Any thread. */
public final class BrokerMetrics {
  private static final List<Duration> PUBLISHES =
      List.of(
          Duration.ofMillis(5),
          Duration.ofMillis(50),
          Duration.ofMillis(500),
          Duration.ofSeconds(5),
          Duration.ofSeconds(15));

  private final Meters meters;

  BrokerMetrics(Meters meters) {
    this.meters = meters;
  }

  /**
   * Whether a connection stands.
   *
   * @param link {@code control} or {@code record}
   * @param connected from its acceptance to its loss
   */
  public void connected(String link, boolean connected) {
    meters
        .level(Metric.BROKER_CONNECTED, meters.bounded(Metric.BROKER_CONNECTED, link))
        .set(connected);
  }

  /**
   * A publish was acknowledged.
   *
   * @param took from the publish to the acknowledgement
   */
  public void published(Duration took) {
    meters.timer(Metric.PUBLISH, PUBLISHES).record(took);
  }
}
