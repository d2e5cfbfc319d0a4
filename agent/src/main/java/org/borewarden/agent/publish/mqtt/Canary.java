package org.borewarden.agent.publish.mqtt;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.mqtt.InMessage;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.publish.Topics;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Publishes to itself at each connection and waits for the message to come back. A broker may
 * acknowledge what its access list then drops, and MQTT 3.1.1 cannot even say so; without this a
 * denied topic would be found never.
 *
 * <p>{@link #due()} is called on the publisher's thread; the rest comes on threads of the link.
 */
final class Canary {
  private static final Logger LOG = LoggerFactory.getLogger(Canary.class);
  private static final Duration WITHIN = Duration.ofSeconds(5);

  private final MqttLink link;
  private final Topics topics;
  private final MonotonicClock clock;
  private final DeliveryListener listener;
  private final AtomicBoolean waiting = new AtomicBoolean();
  private volatile long sentNanos;
  private volatile String awaited = "";
  private volatile Optional<Boolean> delivers = Optional.empty();

  Canary(MqttLink link, Topics topics, MonotonicClock clock, DeliveryListener listener) {
    this.link = link;
    this.topics = topics;
    this.clock = clock;
    this.listener = listener;
    link.subscribe(List.of(topics.canary()), this::arrived);
  }

  /** The link stands anew. */
  void connected(LinkState state) {
    String payload = "{\"connection\":" + state.connection() + "}";
    awaited = payload;
    sentNanos = clock.nanos();
    waiting.set(true);
    link.publish(OutMessage.event(topics.canary(), payload), this::answered);
  }

  /** Gives up waiting: the connection is gone. */
  void lost() {
    waiting.set(false);
  }

  private void answered(PublishResult result) {
    if (result.outcome() == PublishResult.Outcome.REFUSED && waiting.getAndSet(false)) {
      found(false, "the broker refuses " + topics.canary() + ": " + result.detail());
    }
  }

  private void arrived(InMessage message) {
    String text = StandardCharsets.UTF_8.decode(message.payload()).toString();
    if (text.equals(awaited) && waiting.getAndSet(false)) {
      found(true, "the broker delivers");
    }
  }

  /** Looks whether the time is up. */
  void due() {
    if (waiting.get() && clock.nanos() - sentNanos > WITHIN.toNanos() && waiting.getAndSet(false)) {
      found(
          false,
          "the broker accepts but does not deliver "
              + topics.canary()
              + ": does its access list let this agent publish and read there?");
    }
  }

  private synchronized void found(boolean now, String detail) {
    if (delivers.isPresent() && delivers.get() == now) {
      return;
    }
    delivers = Optional.of(now);
    if (now) {
      LOG.info("{}", detail);
    } else {
      LOG.warn("{}", detail);
    }
    listener.changed(now, detail);
  }
}
