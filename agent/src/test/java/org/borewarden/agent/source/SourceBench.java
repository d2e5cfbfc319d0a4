package org.borewarden.agent.source;

import static org.awaitility.Awaitility.await;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.Semaphore;
import java.util.function.BooleanSupplier;
import java.util.function.Predicate;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.agent.source.serial.SerialLink;
import org.borewarden.agent.source.tcp.TcpLink;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Event.FrameRejected;
import org.borewarden.rules.engine.Event.ReadingTaken;
import org.borewarden.rules.engine.Event.SourceChanged;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;

/** A loop's door and a set of counters that remember, and a port with one gauge to hang on them. */
public final class SourceBench implements EventSink, SourceCounters {
  /** Long enough for a loaded machine. */
  public static final Duration LIMIT = Duration.ofSeconds(30);

  private static final Predicate<String> NO_PART = cell -> false;

  private final List<Event> events = new CopyOnWriteArrayList<>();
  private final Map<String, Long> counts = new ConcurrentHashMap<>();
  private final Semaphore room = new Semaphore(Integer.MAX_VALUE);

  /** A port of one gauge that writes such as {@code 62.034 mm}, CR LF. */
  public static PortConfig port(PortConfig.Link link, Optional<Duration> quietFor) {
    return new PortConfig(
        "bore-a",
        link,
        new PortConfig.Frame(Optional.empty(), 64),
        "(?P<value>[-+]?[0-9]+\\.[0-9]+) (?P<unit>mm)",
        false,
        quietFor);
  }

  /** The gauge of that port, and one of another. */
  public static List<GaugeConfig> gauges() {
    return List.of(
        new GaugeConfig("bore-a", "bore-a", Optional.empty(), Optional.empty()),
        new GaugeConfig("bore-b", "elsewhere", Optional.empty(), Optional.of(Unit.INCH)));
  }

  /** A feed that reports here. */
  public SourceFeed feed(PortConfig port) {
    ByteLink link =
        port.link() instanceof PortConfig.Serial serial
            ? new SerialLink(serial)
            : new TcpLink((PortConfig.Tcp) port.link());
    return feed(port, link);
  }

  /** A feed of another link that reports here. */
  public SourceFeed feed(PortConfig port, ByteLink link) {
    return Sources.feed(port, gauges(), link, this, this, NO_PART, Instant::now, System::nanoTime);
  }

  /** A feed of a gauge that captures its readings from a stream. */
  public SourceFeed feed(PortConfig port, ByteLink link, CaptureConfig capture) {
    GaugeConfig gauge =
        new GaugeConfig(
            "bore-a", port.id(), Optional.empty(), Optional.empty(), Optional.of(capture));
    return Sources.feed(
        port, List.of(gauge), link, this, this, NO_PART, Instant::now, System::nanoTime);
  }

  /** A feed of a gauge that says no unit; it is millimetres. */
  public SourceFeed feedInMillimetres(PortConfig port, ByteLink link) {
    GaugeConfig gauge =
        new GaugeConfig("bore-a", port.id(), Optional.empty(), Optional.of(Unit.MILLIMETRE));
    return Sources.feed(
        port, List.of(gauge), link, this, this, NO_PART, Instant::now, System::nanoTime);
  }

  /** From now on the inbox is full. */
  public void fillInbox() {
    room.drainPermits();
  }

  /** There is room again. */
  public void emptyInbox() {
    room.release(Integer.MAX_VALUE - 1);
  }

  /** The values that became readings, in picometres. */
  public List<Long> readings() {
    return events.stream()
        .filter(ReadingTaken.class::isInstance)
        .map(event -> ((ReadingTaken) event).reading().value().picometres())
        .toList();
  }

  /** The readings. */
  public List<Reading> taken() {
    return events.stream()
        .filter(ReadingTaken.class::isInstance)
        .map(event -> ((ReadingTaken) event).reading())
        .toList();
  }

  /** The frames whose rejection was published. */
  public List<FrameRejected> rejections() {
    return events.stream()
        .filter(FrameRejected.class::isInstance)
        .map(FrameRejected.class::cast)
        .toList();
  }

  /** The changes of the source. */
  public List<SourceChanged> changes() {
    return events.stream()
        .filter(SourceChanged.class::isInstance)
        .map(SourceChanged.class::cast)
        .toList();
  }

  /** Whether the last change says that bytes can come. */
  public boolean isConnected() {
    List<SourceChanged> changes = changes();
    return !changes.isEmpty() && changes.get(changes.size() - 1).connected();
  }

  /** What was counted under such as {@code rejected bore-a partial}. */
  public long count(String what) {
    return counts.getOrDefault(what, 0L);
  }

  /** Waits for a condition. */
  public static void until(BooleanSupplier condition) {
    await().atMost(LIMIT).pollInterval(Duration.ofMillis(5)).until(condition::getAsBoolean);
  }

  @Override
  public void put(Event event) throws InterruptedException {
    room.acquire();
    events.add(event);
  }

  @Override
  public boolean offer(Event event) {
    boolean taken = room.tryAcquire();
    if (taken) {
      events.add(event);
    }
    return taken;
  }

  @Override
  public void readings(String gauge) {
    add("readings " + gauge, 1);
  }

  @Override
  public void samples(String gauge) {
    add("samples " + gauge, 1);
  }

  @Override
  public void battery(String gauge, boolean low) {
    counts.put("battery " + gauge, low ? 1L : 0L);
  }

  @Override
  public void lastReading(String gauge, Instant at) {
    add("last " + gauge, 1);
  }

  @Override
  public void rejected(String gauge, String why) {
    add("rejected " + gauge + " " + why, 1);
  }

  @Override
  public void connected(String gauge, boolean connected) {
    counts.put("connected " + gauge, connected ? 1L : 0L);
  }

  @Override
  public void junkBytes(String port, long bytes) {
    add("junk " + port, bytes);
  }

  private void add(String what, long more) {
    counts.merge(what, more, Long::sum);
  }
}
