package org.borewarden.agent.source;

import java.time.Duration;
import java.util.List;
import java.util.SplittableRandom;
import java.util.function.Predicate;
import java.util.random.RandomGenerator;
import org.borewarden.agent.capture.Captures;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.decode.FrameDecoder;
import org.borewarden.agent.frame.FrameCutters;
import org.borewarden.agent.intake.EventSink;

/** Makes the feeds of the ports that a config names. */
public final class Sources {
  private static final Duration FIRST_WAIT = Duration.ofSeconds(1);
  private static final Duration LONGEST_WAIT = Duration.ofSeconds(10);

  private Sources() {}

  /**
   * The feed of one port, not yet started.
   *
   * @param port the port
   * @param gauges gauges of the config; those of other ports are passed over
   * @param link where its bytes come from
   * @param sink where readings, rejected frames and changes of the connection go
   * @param counters what counts them
   * @param partAtGauge whether a cell says that a part is in front of the gauge
   * @param wall for the time of a gauge's last reading
   * @param monotonic for silences, waits and the limit on rejected frames
   * @return to be started last and closed first
   * @throws IllegalArgumentException when the port's pattern is none
   */
  public static SourceFeed feed(
      PortConfig port,
      List<GaugeConfig> gauges,
      ByteLink link,
      EventSink sink,
      SourceCounters counters,
      Predicate<String> partAtGauge,
      WallClock wall,
      MonotonicClock monotonic) {
    return feed(
        port, gauges, link, sink, counters, partAtGauge, wall, monotonic, new SplittableRandom());
  }

  static SourceFeed feed(
      PortConfig port,
      List<GaugeConfig> gauges,
      ByteLink link,
      EventSink sink,
      SourceCounters counters,
      Predicate<String> partAtGauge,
      WallClock wall,
      MonotonicClock monotonic,
      RandomGenerator random) {
    List<GaugeConfig> own = gauges.stream().filter(g -> g.port().equals(port.id())).toList();
    List<String> ids = own.stream().map(GaugeConfig::id).toList();
    RejectGate gate = new RejectGate(SourceReport.MOST_REJECTED_PER_SECOND, Duration.ofSeconds(1));
    SourceReport report = new SourceReport(port.id(), ids, sink, counters, wall, monotonic, gate);
    FrameReader frames =
        new FrameReader(
            FrameCutters.of(port),
            new FrameDecoder(port, own)::decode,
            new Captures(own, partAtGauge),
            report,
            port.frame().longest(),
            port.lowBattery());
    LinkReader reader = new LinkReader(link, frames, report, port.quietFor(), monotonic);
    BackOff backOff = new BackOff(FIRST_WAIT, LONGEST_WAIT, random);
    return new SourceFeed(port.id(), link, reader, report, backOff, monotonic);
  }
}
