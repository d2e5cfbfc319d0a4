package org.borewarden.agent.publish.mqtt;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.mqtt.Will;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps the retained topics as the agent is now. Only the latest payload of a topic counts: what
 * changes while an older payload is under way is sent once after it. At each connection everything
 * is sent anew, holds first.
 *
 * <p>Thread-safe and without a thread of its own; never waits, except in {@link #close()}.
 */
public final class StatePublisher implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(StatePublisher.class);

  /** So many at once; the link's window is shared with beats and answers. */
  private static final int AT_ONCE = 6;

  private static final long FAREWELL_MILLIS = 700;

  private final MqttLink link;
  private final Topics topics;
  private final String offline;
  private final Map<String, String> states = new LinkedHashMap<>();
  private final Set<String> due = new LinkedHashSet<>();
  private final Set<String> underWay = new HashSet<>();
  private final Set<String> refused = new HashSet<>();
  private final Set<String> unheard = new TreeSet<>();
  private String rules = "";
  private long connection;
  private boolean closed;

  /**
   * Makes a publisher; it listens to the link, so make it before the link is started.
   *
   * @param link the control link
   * @param topics where to publish
   * @param agent the agent's id
   */
  public StatePublisher(MqttLink link, Topics topics, String agent) {
    this.link = link;
    this.topics = topics;
    this.offline = offline(agent, "stopped");
    link.listen(this::linkChanged);
  }

  /**
   * The last will of the control link: the agent is offline.
   *
   * @param topics where to publish
   * @param agent the agent's id
   * @return a retained will without delay
   */
  public static Will will(Topics topics, String agent) {
    return new Will(topics.agent(), offline(agent, "connection-lost"), true, Duration.ZERO);
  }

  private static String offline(String agent, String why) {
    return "{\"agent\":"
        + Envelope.quoted(agent)
        + ",\"state\":\"offline\",\"why\":"
        + Envelope.quoted(why)
        + "}";
  }

  /**
   * Sets what a retained topic shows from now on. Any thread; never waits.
   *
   * @param below the topic below the root, such as {@code hold/cell-4}
   * @param payload a JSON object; the same as before is not sent again
   */
  public synchronized void put(String below, String payload) {
    if (closed || payload.equals(states.get(below))) {
      return;
    }
    states.put(below, payload);
    refused.remove(below);
    due.add(below);
    pump();
  }

  /**
   * Clears a retained topic. Any thread; never waits.
   *
   * @param below the topic below the root
   */
  public synchronized void clear(String below) {
    if (!closed && states.containsKey(below)) {
      put(below, "");
    }
  }

  /**
   * Clears a retained topic that an earlier run may have left. Any thread; never waits.
   *
   * @param below the topic below the root
   */
  public void retire(String below) {
    put(below, "");
  }

  /**
   * The topics that the broker refused, for health and the board.
   *
   * @return topics below the root
   */
  public synchronized Set<String> refused() {
    return Set.copyOf(refused);
  }

  /**
   * The hold topics to which nobody subscribed when they were last sent, as brokers of MQTT 5 say.
   *
   * @return topics below the root
   */
  public synchronized Set<String> unheard() {
    return Set.copyOf(unheard);
  }

  /**
   * The rules under which what is put from now on is said. Any thread.
   *
   * @param revision their revision; empty before any
   */
  public synchronized void rules(String revision) {
    rules = revision;
  }

  /**
   * The topics that wait to be sent or acknowledged.
   *
   * @return the count
   */
  public synchronized int waiting() {
    Set<String> all = new HashSet<>(due);
    all.addAll(underWay);
    return all.size();
  }

  private synchronized void linkChanged(LinkState state) {
    underWay.clear();
    due.clear();
    if (state.connected()) {
      connection = state.connection();
      refused.clear();
      List<String> all = new ArrayList<>(states.keySet());
      all.sort(Comparator.comparingInt(StatePublisher::rank));
      due.addAll(all);
      pump();
    }
  }

  /** Holds first, then the agent, then the rest in the order in which it came. */
  private static int rank(String below) {
    if (below.startsWith("hold/")) {
      return 0;
    }
    return below.equals("agent") ? 1 : 2;
  }

  private void pump() {
    if (closed) {
      return;
    }
    List<String> next = new ArrayList<>();
    for (String below : due) {
      if (underWay.size() + next.size() >= AT_ONCE) {
        break;
      }
      if (!underWay.contains(below)) {
        next.add(below);
      }
    }
    if (link.connected()) {
      next.forEach(this::send);
    }
  }

  private void send(String below) {
    due.remove(below);
    underWay.add(below);
    String payload = Optional.ofNullable(states.get(below)).orElse("");
    OutMessage message = OutMessage.state(topics.of(below), payload).underRules(rules);
    long on = connection;
    link.publish(
        rank(below) == 0 ? message.asUrgent() : message,
        result -> answered(below, payload, on, result));
  }

  private synchronized void answered(String below, String sent, long on, PublishResult result) {
    if (on != connection) {
      return;
    }
    underWay.remove(below);
    switch (result.outcome()) {
      case ACCEPTED -> {
        heard(below, sent.isEmpty() || !result.nobodySubscribes());
        forgetIfCleared(below, sent);
      }
      case REFUSED -> {
        if (refused.add(below)) {
          LOG.warn("{}: the broker refuses it: {}", topics.of(below), result.detail());
        }
      }
      case LOST, NOT_SENT -> {
        // Sent anew at the next connection; a full queue empties with the next answer.
        due.add(below);
        return;
      }
    }
    pump();
  }

  /** A cell that listens to nobody's hold is a fault of the wiring that nothing else shows. */
  private void heard(String below, boolean somebody) {
    if (rank(below) != 0) {
      return;
    }
    if (somebody) {
      if (unheard.remove(below)) {
        LOG.info("{}: somebody subscribes again", topics.of(below));
      }
    } else if (unheard.add(below)) {
      LOG.warn(
          "{}: nobody subscribes to this hold topic; a cell that should hear it does not",
          topics.of(below));
    }
  }

  private void forgetIfCleared(String below, String sent) {
    if (sent.isEmpty() && "".equals(states.get(below))) {
      states.remove(below);
    }
  }

  /** Says that the agent is offline, and waits a little for the broker to have it. Idempotent. */
  @Override
  public void close() {
    synchronized (this) {
      if (closed) {
        return;
      }
      closed = true;
    }
    CountDownLatch said = new CountDownLatch(1);
    link.publish(OutMessage.state(topics.agent(), offline).asUrgent(), result -> said.countDown());
    try {
      if (!said.await(FAREWELL_MILLIS, TimeUnit.MILLISECONDS)) {
        LOG.info("the broker did not take the farewell in time");
      }
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
