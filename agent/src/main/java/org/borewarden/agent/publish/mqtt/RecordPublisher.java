package org.borewarden.agent.publish.mqtt;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.Outbox;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Publishes the outbox in order, a window at a time, and reports what the broker has taken.
 *
 * <p>One thread, {@code publisher}, owns all of it. After a lost connection it begins again with
 * the first row that was not acknowledged: duplicates are possible, gaps and a changed order within
 * a topic are not. A row that the broker refuses for what it is, is tried {@value Refusals#TRIES}
 * times and then set aside; meanwhile only rows of its own topic wait.
 *
 * <p>A broker may answer a row that it cannot take by closing the connection. Therefore the first
 * row after a loss goes alone, behind a probe: if the broker takes the probe and closes at the same
 * row three times, the row is set aside.
 */
public final class RecordPublisher implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(RecordPublisher.class);
  private static final int BATCH = 200;
  private static final long IDLE_MILLIS = 200;
  private static final long ACK_MILLIS = 20;
  private static final long JOURNAL_RETRY_MILLIS = 1000;
  private static final long CLOSE_MILLIS = 2000;
  private static final int CLOSES_AT_ROW = 3;

  /** Room in a packet for what is neither topic nor payload. */
  private static final int PACKET_OVERHEAD = 96;

  private final MqttLink link;
  private final Outbox outbox;
  private final Envelope envelope;
  private final Topics topics;
  private final int longestPayload;
  private final MonotonicClock clock;
  private final Canary canary;
  private final Thread thread;
  private final LinkedBlockingQueue<News> news = new LinkedBlockingQueue<>();
  private final AtomicLong setAside = new AtomicLong();

  // Owned by the thread.
  private final Deque<Entry> fetched = new ArrayDeque<>();
  private final NavigableMap<Long, Entry> underWay = new TreeMap<>();
  private final Refusals refusals = new Refusals();
  private final Settled settled = new Settled();
  private LinkState linkState;
  private long cursor;
  private long rewinds;
  private Probe probe = Probe.NONE;
  private long suspect;
  private int closesAtSuspect;
  private volatile boolean stopping;

  /** Where the careful beginning of a connection stands. */
  private enum Probe {
    /** The window is open. */
    NONE,
    /** The probe has to be sent. */
    OWED,
    /** The probe is under way. */
    SENT,
    /** The broker has taken the probe; the next row goes alone. */
    TAKEN,
    /** The row is under way alone. */
    ROW
  }

  /** What other threads tell this one. */
  private sealed interface News {
    /**
     * The link changed.
     *
     * @param state how it stands now
     */
    record Link(LinkState state) implements News {}

    /**
     * A row was answered.
     *
     * @param connection the connection on which it was sent
     * @param seq the row; 0 for the probe
     * @param result what became of it
     */
    record Answered(long connection, long seq, PublishResult result) implements News {}
  }

  /**
   * Makes a publisher; it listens to the link, so make it before the link is started.
   *
   * @param link the record link
   * @param outbox what has to be published
   * @param envelope what every record carries
   * @param topics where to publish
   * @param longestPayload bytes; a longer payload is set aside
   * @param clock for durations
   * @param delivery hears whether the broker delivers what it accepts
   */
  public RecordPublisher(
      MqttLink link,
      Outbox outbox,
      Envelope envelope,
      Topics topics,
      int longestPayload,
      MonotonicClock clock,
      DeliveryListener delivery) {
    this.link = link;
    this.outbox = outbox;
    this.envelope = envelope;
    this.topics = topics;
    this.longestPayload = longestPayload;
    this.clock = clock;
    this.linkState = link.state();
    this.canary = new Canary(link, topics, clock, delivery);
    this.thread = new Thread(this::run, "publisher");
    this.thread.setDaemon(true);
    link.listen(this::linkChanged);
  }

  private void linkChanged(LinkState state) {
    if (state.connected()) {
      canary.connected(state);
    } else {
      canary.lost();
    }
    news.add(new News.Link(state));
  }

  /** Starts the thread. */
  public void start() {
    thread.start();
  }

  /**
   * The rows that were set aside since the start.
   *
   * @return the count, for metrics
   */
  public long setAside() {
    return setAside.get();
  }

  private void run() {
    while (!stopping) {
      try {
        turn();
      } catch (JournalException unreadable) {
        LOG.warn("cannot read the outbox: {}", unreadable.getMessage());
        pauseAfterFault();
      } catch (InterruptedException stop) {
        // Only close() interrupts, and it has set the flag that ends the loop.
      }
    }
  }

  private void pauseAfterFault() {
    try {
      hear(JOURNAL_RETRY_MILLIS);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  private void turn() throws JournalException, InterruptedException {
    hear(0);
    canary.due();
    rewind();
    if (!linkState.connected()) {
      hear(IDLE_MILLIS);
      return;
    }
    fill();
    if (!underWay.isEmpty() || probe == Probe.SENT) {
      hear(ACK_MILLIS);
    } else if (fetched.isEmpty() && !refusals.anyWait()) {
      outbox.awaitWork(IDLE_MILLIS);
    } else {
      hear(ACK_MILLIS);
    }
  }

  /** Rows that are to be sent again lie before the cursor and were settled once. */
  private void rewind() {
    long asked = outbox.rewinds();
    if (asked != rewinds) {
      rewinds = asked;
      cursor = 0;
      fetched.clear();
      settled.clear();
    }
  }

  /** Takes in all news, waiting for the first of it. */
  private void hear(long millis) throws InterruptedException {
    Optional<News> next = Optional.ofNullable(news.poll(millis, TimeUnit.MILLISECONDS));
    while (next.isPresent()) {
      take(next.get());
      next = Optional.ofNullable(news.poll());
    }
  }

  private void take(News item) {
    if (item instanceof News.Link changed) {
      linkChangedHere(changed.state());
    } else if (item instanceof News.Answered answered
        && answered.connection() == linkState.connection()
        && linkState.connected()) {
      answered(answered.seq(), answered.result());
    }
  }

  private void linkChangedHere(LinkState state) {
    boolean was = linkState.connected();
    linkState = state;
    if (was && !state.connected()) {
      lost(state);
    }
    if (state.connected()) {
      cursor = 0;
      fetched.clear();
    }
  }

  private void lost(LinkState state) {
    Optional<Entry> first = underWay.values().stream().findFirst();
    if (first.isPresent()) {
      if (probe == Probe.ROW) {
        closedAt(first.get(), state.detail());
      }
      probe = Probe.OWED;
    } else if (probe != Probe.NONE) {
      probe = Probe.OWED;
    }
    underWay.clear();
    refusals.forgetWaits();
  }

  /** The connection was lost while a row was under way alone, after a probe was taken. */
  private void closedAt(Entry row, String why) {
    closesAtSuspect = row.seq() == suspect ? closesAtSuspect + 1 : 1;
    suspect = row.seq();
    if (closesAtSuspect >= CLOSES_AT_ROW) {
      putAside(
          row,
          "the broker took a probe and then closed the connection at this row, "
              + CLOSES_AT_ROW
              + " times: "
              + why);
      closesAtSuspect = 0;
      link.forgive();
    }
  }

  private void fill() throws JournalException {
    if (probe == Probe.OWED) {
      sendProbe();
    }
    while (underWay.size() < window()) {
      Optional<Entry> row = nextRow();
      if (row.isEmpty()) {
        return;
      }
      send(row.get());
    }
  }

  /** How many rows may be under way now. */
  private int window() {
    return switch (probe) {
      case NONE -> linkState.window();
      case OWED, SENT -> 0;
      case TAKEN, ROW -> 1;
    };
  }

  private void sendProbe() {
    probe = Probe.SENT;
    long connection = linkState.connection();
    link.publish(
        OutMessage.event(topics.canary(), "{\"probe\":" + connection + "}"),
        result -> news.add(new News.Answered(connection, 0, result)));
  }

  private Optional<Entry> nextRow() throws JournalException {
    Optional<Entry> again = refusals.dueRow(clock.nanos());
    if (again.isPresent()) {
      return again;
    }
    while (true) {
      if (fetched.isEmpty() && !fetch()) {
        return Optional.empty();
      }
      Entry row = fetched.removeFirst();
      if (settled.contains(row.seq()) || underWay.containsKey(row.seq())) {
        continue;
      }
      if (!refusals.holdsBack(row)) {
        return Optional.of(row);
      }
      if (refusals.full()) {
        fetched.addFirst(row);
        return Optional.empty();
      }
      refusals.waitBehind(row);
    }
  }

  private boolean fetch() throws JournalException {
    List<Entry> rows = outbox.next(cursor, BATCH);
    if (rows.isEmpty()) {
      return false;
    }
    cursor = rows.get(rows.size() - 1).seq();
    fetched.addAll(rows);
    return true;
  }

  private void send(Entry row) throws JournalException {
    String below = row.topic().orElse("");
    Optional<String> payload = envelope.around(row);
    if (below.isEmpty() || payload.isEmpty()) {
      putAside(row, "not publishable: expected a topic and a JSON object");
      return;
    }
    Optional<String> tooLong = tooLong(topics.of(below), payload.get());
    if (tooLong.isPresent()) {
      putAside(row, tooLong.get());
      return;
    }
    if (probe == Probe.TAKEN) {
      probe = Probe.ROW;
    }
    underWay.put(row.seq(), row);
    OutMessage plain = OutMessage.event(topics.of(below), payload.get());
    OutMessage message =
        Topics.alsoState(below) && outbox.isNewestOnItsTopic(row)
            ? OutMessage.state(plain.topic(), plain.payload())
            : plain;
    long connection = linkState.connection();
    link.publish(message, result -> news.add(new News.Answered(connection, row.seq(), result)));
  }

  private Optional<String> tooLong(String topic, String payload) {
    int bytes = payload.getBytes(StandardCharsets.UTF_8).length;
    if (bytes > longestPayload) {
      return Optional.of("payload of " + bytes + " bytes, at most " + longestPayload);
    }
    long packet = (long) bytes + topic.length() + PACKET_OVERHEAD;
    if (linkState.longestPacket().isPresent() && packet > linkState.longestPacket().getAsLong()) {
      return Optional.of(
          "packet of about "
              + packet
              + " bytes, the broker takes "
              + linkState.longestPacket().getAsLong());
    }
    return Optional.empty();
  }

  private void answered(long seq, PublishResult result) {
    if (seq == 0) {
      probeAnswered(result);
      return;
    }
    Optional<Entry> row = Optional.ofNullable(underWay.get(seq));
    if (row.isEmpty()) {
      return;
    }
    switch (result.outcome()) {
      case ACCEPTED -> {
        answeredRow(seq);
        settled.add(seq);
        outbox.acknowledged(seq);
        refusals.taken(row.get());
      }
      case REFUSED -> {
        answeredRow(seq);
        if (refusals.refused(row.get(), result.reasonCode(), clock.nanos())) {
          putAside(row.get(), result.detail());
        }
      }
      case LOST, NOT_SENT -> {
        // The news that the link is lost follows; the row stays in the outbox.
      }
    }
  }

  private void answeredRow(long seq) {
    underWay.remove(seq);
    if (probe == Probe.ROW) {
      probe = Probe.NONE;
    }
  }

  /** A refused probe is as good as a taken one: the connection stands. */
  private void probeAnswered(PublishResult result) {
    boolean stands =
        switch (result.outcome()) {
          case ACCEPTED, REFUSED -> true;
          case LOST, NOT_SENT -> false;
        };
    if (probe == Probe.SENT && stands) {
      probe = Probe.TAKEN;
    }
  }

  private void putAside(Entry row, String why) {
    LOG.warn("record {} on {} is set aside: {}", row.seq(), row.topic().orElse("no topic"), why);
    outbox.setAside(row.seq(), why);
    settled.add(row.seq());
    refusals.gone(row);
    setAside.incrementAndGet();
  }

  /** Stops the thread; what is under way stays in the outbox. Idempotent. */
  @Override
  public void close() {
    stopping = true;
    thread.interrupt();
    try {
      thread.join(Duration.ofMillis(CLOSE_MILLIS).toMillis());
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
