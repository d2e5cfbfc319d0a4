package org.borewarden.agent.mqtt;

import java.nio.ByteBuffer;
import java.time.Duration;
import java.util.Optional;

/**
 * A message to publish: JSON text on a topic.
 *
 * @param topic the whole topic, root included
 * @param payload JSON; empty to clear a retained topic
 * @param qos 0 at most once, 1 at least once
 * @param retained whether the broker keeps it for later subscribers
 * @param urgent whether it goes before messages that are not, and may use the last free place of
 *     the window
 * @param expiry after this time it is worthless: the link drops it unsent, and an MQTT 5 broker
 *     drops it too
 * @param correlation what an answer gives back to the asker; MQTT 5 only
 * @param rules the rules revision that it was said under; empty before any; MQTT 5 only
 */
public record OutMessage(
    String topic,
    String payload,
    int qos,
    boolean retained,
    boolean urgent,
    Optional<Duration> expiry,
    Optional<ByteBuffer> correlation,
    String rules) {

  /** Refuses what MQTT does not allow, because it is our own mistake. */
  public OutMessage {
    if (topic.isEmpty() || topic.indexOf('#') >= 0 || topic.indexOf('+') >= 0) {
      throw new IllegalArgumentException("not a topic to publish on: '" + topic + "'");
    }
    if (qos < 0 || qos > 1) {
      throw new IllegalArgumentException("expected QoS 0 or 1, got " + qos);
    }
    correlation = correlation.map(ByteBuffer::asReadOnlyBuffer);
  }

  /**
   * A record: at least once, not retained.
   *
   * @param topic the whole topic
   * @param payload JSON
   * @return the message
   */
  public static OutMessage event(String topic, String payload) {
    return record(topic, payload, Optional.empty());
  }

  /**
   * A record that the broker need not keep for ever for who is away.
   *
   * @param topic the whole topic
   * @param payload JSON
   * @param expiry how long the broker keeps it; longer than any connection waits for an answer
   * @return the message
   */
  public static OutMessage record(String topic, String payload, Optional<Duration> expiry) {
    return new OutMessage(topic, payload, 1, false, false, expiry, Optional.empty(), "");
  }

  /**
   * An answer to a command: at least once, before what is not urgent, worthless after a while.
   *
   * @param topic the whole topic
   * @param payload JSON
   * @param expiry how long it is worth something
   * @param correlation what the asker gave to have back
   * @return the message
   */
  public static OutMessage answer(
      String topic, String payload, Duration expiry, Optional<ByteBuffer> correlation) {
    return new OutMessage(topic, payload, 1, false, true, Optional.of(expiry), correlation, "");
  }

  /**
   * A state: at least once, retained.
   *
   * @param topic the whole topic
   * @param payload JSON
   * @return the message
   */
  public static OutMessage state(String topic, String payload) {
    return new OutMessage(topic, payload, 1, true, false, Optional.empty(), Optional.empty(), "");
  }

  /**
   * A beat: at most once, never retained, worthless soon, before everything else.
   *
   * @param topic the whole topic
   * @param payload JSON
   * @param expiry how long it may be believed
   * @return the message
   */
  public static OutMessage beat(String topic, String payload, Duration expiry) {
    return new OutMessage(
        topic, payload, 0, false, true, Optional.of(expiry), Optional.empty(), "");
  }

  /**
   * The same message before everything that is not urgent.
   *
   * @return an urgent copy
   */
  public OutMessage asUrgent() {
    return new OutMessage(topic, payload, qos, retained, true, expiry, correlation, rules);
  }

  /**
   * The same message, with the rules that it was said under.
   *
   * @param revision their revision; empty before any
   * @return a copy
   */
  public OutMessage underRules(String revision) {
    return new OutMessage(topic, payload, qos, retained, urgent, expiry, correlation, revision);
  }
}
