package org.borewarden.agent.publish.mqtt;

import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.Outbox;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.mqtt.ReasonCodes;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The rows of the outbox that are under way, and which may go next. It decides; somebody else has
 * the thread and the connection. Never blocks; used by one thread, but for {@link #setAside()}.
 *
 * <p>After a lost connection it begins again with the first row that was not acknowledged:
 * duplicates are possible, gaps and a changed order within a topic are not. A row that the broker
 * refuses for what it is, is tried {@value Refusals#TRIES} times and then set aside; meanwhile only
 * rows of its own topic wait.
 *
 * <p>A broker may answer a row that it cannot take by closing the connection. Therefore the rows
 * that were under way at a loss go alone, one after the other, behind a probe. A row at which the
 * broker closed then waits for its turn, as a refused one does, while others go on; each further
 * time it goes alone too, and after the third it is set aside. A bad network may close there by
 * chance; so the second attempt goes behind sixteen probes and the third behind four times as many.
 */
final class RecordWindow {
  /** The seq under which the probe is answered. */
  static final long PROBE = 0;

  private static final Logger LOG = LoggerFactory.getLogger(RecordWindow.class);
  private static final int BATCH = 200;
  private static final int FIRST_PROBES = 16;
  private static final int MORE_PROBES = 4;

  /** Room in a packet for what is neither topic nor payload. */
  private static final int PACKET_OVERHEAD = 96;

  private final Way way;
  private final Outbox outbox;
  private final Envelope envelope;
  private final Topics topics;
  private final RecordLimits limits;
  private final DeliveryListener delivery;
  private final MonotonicClock clock;
  private final AtomicLong setAside = new AtomicLong();
  private final Deque<Entry> fetched = new ArrayDeque<>();
  private final NavigableMap<Long, Entry> underWay = new TreeMap<>();
  private final Refusals refusals = new Refusals();
  private final Settled settled = new Settled();
  private LinkState linkState;

  /** A row that was to go when the journal could not be read; it goes before all others. */
  private Optional<Entry> halted = Optional.empty();

  private long cursor;
  private long rewinds;
  private final Probing probing = new Probing();

  /** Whether the broker has taken anything since the last forgiving. */
  private boolean took;

  /** Whether the broker has refused a row on this connection. */
  private boolean refusedHere;

  /** How a message leaves. */
  interface Way {
    /**
     * Sends a message; what becomes of it comes back by {@link RecordWindow#answered}, later.
     *
     * @param connection the connection that it is meant for
     * @param seq the row; {@link RecordWindow#PROBE} for the probe
     * @param message the message
     */
    void send(long connection, long seq, OutMessage message);

    /** The cause of the recent losses is set aside: the next connection need not wait long. */
    void forgive();
  }

  RecordWindow(
      Way way,
      Outbox outbox,
      Envelope envelope,
      Topics topics,
      RecordLimits limits,
      MonotonicClock clock,
      LinkState linkState,
      DeliveryListener delivery) {
    this.way = way;
    this.outbox = outbox;
    this.envelope = envelope;
    this.topics = topics;
    this.limits = limits;
    this.delivery = delivery;
    this.clock = clock;
    this.linkState = linkState;
  }

  boolean connected() {
    return linkState.connected();
  }

  /** Whether an answer is awaited. */
  boolean awaitsAnswer() {
    return !underWay.isEmpty() || probing.awaitsAnswer();
  }

  /** Whether there is something to do that no answer of the broker will bring about. */
  boolean hasRows() {
    return halted.isPresent() || !fetched.isEmpty() || refusals.anyWait();
  }

  long setAside() {
    return setAside.get();
  }

  void linkChanged(LinkState state) {
    boolean was = linkState.connected();
    linkState = state;
    if (was && !state.connected()) {
      lost(state);
    }
    if (state.connected()) {
      refusals.connected(clock.nanos());
      cursor = 0;
      fetched.clear();
    }
  }

  private void lost(LinkState state) {
    if (probing.isAlone()) {
      underWay.values().forEach(row -> closedAt(row, state.detail()));
    }
    if (refusedHere) {
      forgiveWhoTakesOthers();
    }
    refusedHere = false;
    probing.lost(underWay.isEmpty() ? 0 : underWay.lastKey());
    underWay.clear();
    halted = Optional.empty();
    refusals.lost();
  }

  /** The connection was lost while a row was under way alone, after its probes were taken. */
  private void closedAt(Entry row, String why) {
    if (refusals.closedAt(row, clock.nanos())) {
      putAside(
          row,
          "closed",
          "the broker took probes and then closed the connection at this row, "
              + Refusals.TRIES
              + " times, each behind more probes: "
              + why);
      way.forgive();
    }
  }

  /** Sends what may be sent now. */
  void fill() throws JournalException {
    rewind();
    if (halted.isEmpty() && awaitsEmptyWindow()) {
      return;
    }
    if (probing.probeIsOwed()) {
      sendProbe();
    }
    while (underWay.size() < probing.window(linkState.window())) {
      Optional<Entry> row = nextRow();
      if (row.isEmpty()) {
        return;
      }
      send(row.get());
    }
  }

  /** Calls a row that has to go alone, when nothing is under way; until then nothing else goes. */
  private boolean awaitsEmptyWindow() {
    Optional<Entry> due = probing.mayCall() ? refusals.dueAlone(clock.nanos()) : Optional.empty();
    if (due.isPresent() && underWay.isEmpty()) {
      probing.call(due.get(), probes(refusals.closes(due.get())));
      return false;
    }
    return due.isPresent();
  }

  private static int probes(int closes) {
    int probes = FIRST_PROBES;
    for (int close = 1; close < closes; close++) {
      probes *= MORE_PROBES;
    }
    return probes;
  }

  /** Rows that are to be sent again lie before the cursor and were settled once. */
  private void rewind() {
    long asked = outbox.rewinds();
    if (asked != rewinds) {
      rewinds = asked;
      cursor = 0;
      fetched.clear();
      settled.clear();
      refusals.readAgain();
    }
  }

  private void sendProbe() {
    probing.probeSent();
    long connection = linkState.connection();
    way.send(
        connection, PROBE, OutMessage.event(topics.canary(), "{\"probe\":" + connection + "}"));
  }

  private Optional<Entry> nextRow() throws JournalException {
    Optional<Entry> before = halted;
    halted = Optional.empty();
    Optional<Entry> first = before.or(probing::takeCalled).or(() -> refusals.dueRow(clock.nanos()));
    if (first.isPresent()) {
      return first;
    }
    while (true) {
      if (fetched.isEmpty() && !fetch()) {
        return Optional.empty();
      }
      Entry row = fetched.removeFirst();
      if (settled.contains(row.seq()) || underWay.containsKey(row.seq()) || refusals.isOpen(row)) {
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
      putAside(row, "not-publishable", "not publishable: expected a topic and a JSON object");
      return;
    }
    Optional<String> tooLong = tooLong(topics.of(below), payload.get());
    if (tooLong.isPresent()) {
      putAside(row, "too-large", tooLong.get());
      return;
    }
    boolean asState = Topics.alsoState(below) && isNewest(row);
    probing.rowSent();
    underWay.put(row.seq(), row);
    String topic = topics.of(below);
    OutMessage message =
        asState
            ? OutMessage.state(topic, payload.get())
            : OutMessage.record(topic, payload.get(), limits.expireAfter());
    way.send(linkState.connection(), row.seq(), message.underRules(row.rules()));
  }

  private boolean isNewest(Entry row) throws JournalException {
    try {
      return outbox.isNewestOnItsTopic(row);
    } catch (JournalException unreadable) {
      halted = Optional.of(row);
      throw unreadable;
    }
  }

  private Optional<String> tooLong(String topic, String payload) {
    int bytes = payload.getBytes(StandardCharsets.UTF_8).length;
    if (bytes > limits.longestPayload()) {
      return Optional.of("payload of " + bytes + " bytes, at most " + limits.longestPayload());
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

  /** What became of a row; an answer to an older connection is none. */
  void answered(long connection, long seq, PublishResult result) {
    if (connection != linkState.connection() || !linkState.connected()) {
      return;
    }
    if (seq == PROBE) {
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
        took = true;
        outbox.acknowledged(seq);
        delivery.acknowledged(result.nanos());
        refusals.taken(row.get());
      }
      case REFUSED -> {
        answeredRow(seq);
        refusedHere = true;
        if (refusals.refused(row.get(), result.reasonCode(), clock.nanos())) {
          putAside(row.get(), key(result.reasonCode()), result.detail());
          forgiveWhoTakesOthers();
        }
      }
      case LOST, NOT_SENT -> {
        // The news that the link is lost follows; the row stays in the outbox.
      }
    }
  }

  /**
   * A broker may refuse a row and close the connection too. The others must not wait for that; a
   * broker that takes nothing at all is not called so often.
   */
  private void forgiveWhoTakesOthers() {
    if (took) {
      took = false;
      way.forgive();
    }
  }

  private void answeredRow(long seq) {
    underWay.remove(seq);
    probing.rowAnswered(seq);
  }

  /** A refused probe is as good as a taken one: the connection stands. */
  private void probeAnswered(PublishResult result) {
    took |= result.outcome() == PublishResult.Outcome.ACCEPTED;
    boolean stands =
        switch (result.outcome()) {
          case ACCEPTED, REFUSED -> true;
          case LOST, NOT_SENT -> false;
        };
    if (stands) {
      probing.probeAnswered();
    }
  }

  private static String key(int reasonCode) {
    return switch (reasonCode) {
      case ReasonCodes.NOT_AUTHORISED -> "no-right";
      case ReasonCodes.TOO_LARGE -> "too-large";
      default -> "refused";
    };
  }

  private void putAside(Entry row, String key, String why) {
    LOG.warn("record {} on {} is set aside: {}", row.seq(), row.topic().orElse("no topic"), why);
    outbox.setAside(row.seq(), why);
    settled.add(row.seq());
    refusals.gone(row);
    setAside.incrementAndGet();
    delivery.setAside(key);
  }
}
