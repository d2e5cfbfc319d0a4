package org.borewarden.agent.faults.sim;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import java.util.Set;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.mqtt.PublishResult.Outcome;
import org.borewarden.agent.mqtt.ReasonCodes;
import org.borewarden.agent.publish.mqtt.WindowTurns;

/**
 * A broker and the way to it: takes messages in order, answers late, loses connections with what is
 * under way on them, denies one topic, and closes at the payload that is poison to it.
 */
final class SimBroker {
  private static final int WINDOW = 5;

  private final Random random;
  private final Tamper tamper;
  private final Map<String, Long> firsts = new HashMap<>();
  private final Map<Long, String> heard = new HashMap<>();
  private final Deque<Sent> onTheWay = new ArrayDeque<>();
  private final Deque<Answer> answers = new ArrayDeque<>();
  private final boolean deniesRejected;
  private final long poison;
  private final Map<Long, Integer> closes = new HashMap<>();
  private final Set<Long> unanswered = new HashSet<>();
  private Optional<WindowTurns> window = Optional.empty();
  private long connection;
  private boolean connected;
  private int repeats;

  private record Sent(long connection, long seq, OutMessage message) {}

  private record Answer(long connection, long seq, PublishResult result) {}

  SimBroker(Random random, Tamper tamper) {
    this.random = random;
    this.tamper = tamper;
    this.deniesRejected = tamper == Tamper.FORGETS_REFUSED_ROW || random.nextInt(3) == 0;
    this.poison = random.nextInt(3) == 0 ? 20 + random.nextInt(40) : -1;
  }

  static LinkState away() {
    return state(false, 0);
  }

  boolean connected() {
    return connected;
  }

  private static LinkState state(boolean connected, long connection) {
    return new LinkState(
        "record",
        connected,
        "simulated",
        Optional.empty(),
        connection,
        WINDOW,
        OptionalLong.empty(),
        0);
  }

  /** A new life of the agent has a window of its own. */
  void serve(WindowTurns of) {
    window = Optional.of(of);
    connected = false;
    onTheWay.clear();
    answers.clear();
    unanswered.clear();
  }

  void send(long onConnection, long seq, OutMessage message) {
    Sent sent = new Sent(onConnection, seq, message);
    if (seq > 0) {
      unanswered.add(seq);
    }
    if (tamper == Tamper.SWAPS_ROWS && !onTheWay.isEmpty() && random.nextInt(4) == 0) {
      Sent last = onTheWay.removeLast();
      onTheWay.add(sent);
      onTheWay.add(last);
    } else {
      onTheWay.add(sent);
    }
  }

  /** Takes the next message, or lets an answer through. */
  void step() {
    if (!connected) {
      connect();
    } else if (random.nextBoolean() && !answers.isEmpty()) {
      Answer answer = answers.remove();
      tell(answer);
    } else if (!onTheWay.isEmpty()) {
      take(onTheWay.remove());
    }
  }

  private void connect() {
    connected = true;
    connection++;
    window.ifPresent(to -> to.linkChanged(state(true, connection)));
  }

  private void take(Sent sent) {
    boolean probe = sent.seq() == 0;
    if (!probe && sent.seq() == poison) {
      drop();
    } else if (!probe && deniesRejected && sent.message().topic().contains("/rejected/")) {
      answers.add(answer(sent, Outcome.REFUSED, ReasonCodes.NOT_AUTHORISED));
    } else {
      if (!probe) {
        hear(sent);
      }
      answers.add(answer(sent, Outcome.ACCEPTED, 0));
    }
  }

  private static Answer answer(Sent sent, Outcome outcome, int code) {
    return new Answer(
        sent.connection(), sent.seq(), new PublishResult(outcome, code, "simulated", 0));
  }

  /** What a consumer gets, in order of arrival. */
  private void hear(Sent sent) {
    String before = heard.putIfAbsent(sent.seq(), sent.message().payload());
    if (before != null) {
      repeats++;
      if (!before.equals(sent.message().payload())) {
        throw new Violation("two records with seq " + sent.seq());
      }
      return;
    }
    Long highest = firsts.put(sent.message().topic(), sent.seq());
    if (highest != null && highest > sent.seq()) {
      throw new Violation("seq " + sent.seq() + " came after " + highest + " on its topic");
    }
  }

  /** The connection is lost, and with it what is under way; some answers may still have come. */
  void drop() {
    if (!connected) {
      return;
    }
    connected = false;
    unanswered.stream().min(Long::compare).ifPresent(seq -> closes.merge(seq, 1, Integer::sum));
    unanswered.clear();
    if (tamper == Tamper.TAKES_LOST_FOR_ACKNOWLEDGED) {
      onTheWay.forEach(sent -> tell(answer(sent, Outcome.ACCEPTED, 0)));
    } else {
      onTheWay.forEach(sent -> tell(answer(sent, Outcome.LOST, 0)));
    }
    onTheWay.clear();
    answers.clear();
    window.ifPresent(to -> to.linkChanged(state(false, connection)));
  }

  private void tell(Answer answer) {
    unanswered.remove(answer.seq());
    window.ifPresent(to -> to.answered(answer.connection(), answer.seq(), answer.result()));
  }

  boolean isIdle() {
    return onTheWay.isEmpty() && answers.isEmpty();
  }

  Map<Long, String> heard() {
    return heard;
  }

  int repeats() {
    return repeats;
  }

  /** Whether a row may end up aside: it was refused, or the connection was lost at it thrice. */
  boolean mayRefuse(long seq, String topic) {
    return closes.getOrDefault(seq, 0) >= 3 || (deniesRejected && topic.startsWith("rejected/"));
  }

  /** Whether only chance has made a row look like poison. */
  boolean isInnocent(long seq, String topic) {
    return seq != poison && !(deniesRejected && topic.startsWith("rejected/"));
  }
}
