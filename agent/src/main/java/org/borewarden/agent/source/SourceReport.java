package org.borewarden.agent.source;

import java.util.HashSet;
import java.util.List;
import java.util.OptionalLong;
import java.util.Set;
import org.borewarden.agent.capture.Caught;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.decode.Decoded.Refused;
import org.borewarden.agent.decode.Excerpt;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.reading.Reading;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Says what one port has to say: to the loop as events, to the metrics as counts, to people as log
 * lines. Owned by the source's thread; waits while the inbox is full, which is how a slow loop
 * stops the reading of the port.
 */
final class SourceReport {
  /** Rejected frames that are published in any second; the others are only counted. */
  static final int MOST_REJECTED_PER_SECOND = 10;

  private static final int LONGEST_EXCERPT = 64;
  private static final Logger LOG = LoggerFactory.getLogger(SourceReport.class);

  private final String port;
  private final List<String> gauges;
  private final EventSink sink;
  private final SourceCounters counters;
  private final WallClock wall;
  private final MonotonicClock monotonic;
  private final RejectGate gate;
  private final Set<String> batteriesLow = new HashSet<>();
  private String state = "";

  SourceReport(
      String port,
      List<String> gauges,
      EventSink sink,
      SourceCounters counters,
      WallClock wall,
      MonotonicClock monotonic,
      RejectGate gate) {
    this.port = port;
    this.gauges = gauges;
    this.sink = sink;
    this.counters = counters;
    this.wall = wall;
    this.monotonic = monotonic;
    this.gate = gate;
  }

  /** Says a state of the link, once until another one is said. */
  void state(boolean connected, String key, String detail) throws InterruptedException {
    if (state.equals(key)) {
      return;
    }
    state = key;
    LOG.info("Source {}: {}", port, detail);
    countConnected(connected);
    sink.put(new Event.SourceChanged(port, gauges, connected, detail));
  }

  /** The thread ends on request: an orderly stop is no loss, so the loop is not told. */
  void stopped() {
    countConnected(false);
  }

  /** The thread ends by a fault of ours; the loop must not go on waiting for readings. */
  void failed() {
    countConnected(false);
    boolean told =
        sink.offer(
            new Event.SourceChanged(port, gauges, false, "the source's thread ended by a fault"));
    LOG.error("Source {}: its thread ended by a fault; the loop was told: {}", port, told);
  }

  void reading(Reading reading) throws InterruptedException {
    sink.put(new Event.ReadingTaken(reading));
    counters.readings(reading.gauge());
    counters.lastReading(reading.gauge(), wall.now());
  }

  /** What a gauge says of its battery; told to people when it changes. */
  void battery(String gauge, boolean low) {
    counters.battery(gauge, low);
    if (low ? batteriesLow.add(gauge) : batteriesLow.remove(gauge)) {
      LOG.warn("Source {}: the battery of {} is {}", port, gauge, low ? "low" : "no longer low");
    }
  }

  void sample(String gauge) {
    counters.samples(gauge);
  }

  /** A stay of a gauge in a bore that gave no reading. */
  void missed(String gauge, Caught.Missed missed) throws InterruptedException {
    rejected(gauge, missed.why(), missed.detail(), 0, "");
  }

  void refused(Refused refused, String frame) throws InterruptedException {
    rejected(refused.from(), refused.why().key(), refused.detail(), refused.offset(), frame);
  }

  /** A frame of which the gauge could not be told; a gauge that stands alone is told anyway. */
  void rejected(String why, String detail, int offset, String frame) throws InterruptedException {
    rejected(gauges.size() == 1 ? gauges.get(0) : port, why, detail, offset, frame);
  }

  void junkBytes(long more) {
    if (more > 0) {
      counters.junkBytes(port, more);
    }
  }

  private void rejected(String gauge, String why, String detail, int offset, String frame)
      throws InterruptedException {
    counters.rejected(gauge, why);
    OptionalLong heldBack = gate.pass(monotonic.nanos());
    if (heldBack.isPresent()) {
      sink.put(
          new Event.FrameRejected(
              gauge,
              why,
              detail,
              offset,
              Excerpt.of(frame, LONGEST_EXCERPT),
              heldBack.getAsLong()));
    }
  }

  private void countConnected(boolean connected) {
    gauges.forEach(gauge -> counters.connected(gauge, connected));
  }
}
