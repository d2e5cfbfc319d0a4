package org.borewarden.agent;

import java.time.Instant;
import org.borewarden.agent.observe.InputMetrics;
import org.borewarden.agent.source.SourceCounters;

/**
 * Counts what sources tell.
 *
 * @param input where it is counted
 */
record SourceMeter(InputMetrics input) implements SourceCounters {
  @Override
  public void readings(String gauge) {
    // Counted together with its time, below.
  }

  @Override
  public void samples(String gauge) {
    input.sample(gauge);
  }

  @Override
  public void battery(String gauge, boolean low) {
    input.battery(gauge, low);
  }

  @Override
  public void lastReading(String gauge, Instant at) {
    input.reading(gauge, at);
  }

  @Override
  public void rejected(String gauge, String why) {
    input.rejected(gauge, why, 1);
  }

  @Override
  public void connected(String gauge, boolean connected) {
    input.connected(gauge, connected);
  }

  @Override
  public void junkBytes(String port, long bytes) {
    // Junk that was no frame is told by the frames that were rejected around it.
  }
}
