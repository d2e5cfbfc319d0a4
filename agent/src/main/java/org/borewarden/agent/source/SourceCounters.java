package org.borewarden.agent.source;

import java.time.Instant;

/** What sources count. Called on source threads; thread-safe; must not block or throw. */
public interface SourceCounters {
  /**
   * A reading was accepted.
   *
   * @param gauge the gauge
   */
  void readings(String gauge);

  /**
   * A sample came of a stream from which readings are captured.
   *
   * @param gauge the gauge
   */
  void samples(String gauge);

  /**
   * When a gauge gave its last reading.
   *
   * @param gauge the gauge
   * @param at wall time
   */
  void lastReading(String gauge, Instant at);

  /**
   * What a gauge said of its battery, with each frame of a port that tells.
   *
   * @param gauge the gauge
   * @param low whether it is low
   */
  void battery(String gauge, boolean low);

  /**
   * A frame was rejected; each one is counted, published or not.
   *
   * @param gauge the gauge, or the port's id where it could not be told
   * @param why the reason's key; of a small fixed set
   */
  void rejected(String gauge, String why);

  /**
   * A gauge's port was opened or lost.
   *
   * @param gauge the gauge
   * @param connected whether bytes can come
   */
  void connected(String gauge, boolean connected);

  /**
   * Bytes came that belong to no frame.
   *
   * @param port the port's id
   * @param bytes how many more
   */
  void junkBytes(String port, long bytes);
}
