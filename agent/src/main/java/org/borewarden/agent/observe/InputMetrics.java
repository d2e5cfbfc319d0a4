package org.borewarden.agent.observe;

import java.time.Instant;

/** Counts what comes from the gauges. Any thread. */
public final class InputMetrics {
  private final Meters meters;
  private final KnownIds known;

  InputMetrics(Meters meters, KnownIds known) {
    this.meters = meters;
    this.known = known;
  }

  /**
   * Makes a gauge's counters stand at zero and shows it as not connected. Called once per gauge at
   * the start, so that a gauge that never sends is seen.
   *
   * @param gauge the gauge's id
   */
  public void expect(String gauge) {
    String id = known.source(gauge);
    meters.counter(Metric.READINGS, id);
    meters.counter(Metric.OVERRUNS, id);
    connected(gauge, false);
  }

  /**
   * A reading was accepted.
   *
   * @param gauge the gauge's id
   * @param at the wall time of the reading
   */
  public void reading(String gauge, Instant at) {
    String id = known.source(gauge);
    meters.counter(Metric.READINGS, id).increment();
    meters.level(Metric.LAST_READING, id).set(at);
  }

  /**
   * A sample came of a stream from which readings are captured.
   *
   * @param gauge the gauge's id
   */
  public void sample(String gauge) {
    meters.counter(Metric.SAMPLES, known.source(gauge)).increment();
  }

  /**
   * Frames were rejected.
   *
   * @param gauge the gauge's id, or its port's
   * @param why one of our keys, such as {@code too-long}
   * @param frames how many, for those that were only counted
   */
  public void rejected(String gauge, String why, long frames) {
    String key = meters.bounded(Metric.REJECTED, why);
    meters.counter(Metric.REJECTED, known.source(gauge), key).increment((double) frames);
  }

  /**
   * A gauge's port was opened or lost.
   *
   * @param gauge the gauge's id
   * @param connected whether bytes can come
   */
  public void connected(String gauge, boolean connected) {
    meters.level(Metric.GAUGE_CONNECTED, known.source(gauge)).set(connected);
  }

  /**
   * What a gauge says of its battery.
   *
   * @param gauge the gauge's id
   * @param low whether it is low
   */
  public void battery(String gauge, boolean low) {
    meters.level(Metric.BATTERY_LOW, known.source(gauge)).set(low);
  }

  /**
   * Input came faster than it was taken.
   *
   * @param gauge the gauge's id, or its port's
   */
  public void overrun(String gauge) {
    meters.counter(Metric.OVERRUNS, known.source(gauge)).increment();
  }

  /**
   * When a gauge's next ring check is due.
   *
   * @param gauge the gauge's id
   * @param due the wall time
   */
  public void ringCheckDue(String gauge, Instant due) {
    meters.level(Metric.RING_CHECK_DUE, known.source(gauge)).set(due);
  }
}
