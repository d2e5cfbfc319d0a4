package org.borewarden.agent.command.mqtt;

import java.nio.ByteBuffer;
import java.time.Duration;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.command.AnswerBook;
import org.borewarden.agent.command.AnswerText;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Phase;

/**
 * Remembers where each command wants its answer, and sends it there when the record is synced.
 * Thread-safe; never waits.
 */
public final class CommandAnswers implements AnswerBook {
  /** The oldest are forgotten first. */
  private static final int MOST = 10_000;

  private static final Duration KEPT = Duration.ofSeconds(60);
  private static final Duration WORTH = Duration.ofSeconds(60);

  private final MqttLink link;
  private final MonotonicClock clock;
  private final Map<String, Address> addresses = new LinkedHashMap<>();

  /**
   * Where an answer goes.
   *
   * @param topic the whole topic
   * @param correlation what the asker wants back
   * @param sinceNanos when it was asked
   */
  private record Address(String topic, Optional<ByteBuffer> correlation, long sinceNanos) {}

  /**
   * Makes the memory.
   *
   * @param link the control link
   * @param clock for durations
   */
  public CommandAnswers(MqttLink link, MonotonicClock clock) {
    this.link = link;
    this.clock = clock;
  }

  /** A command with that id wants its answer there. */
  synchronized void remember(String id, String topic, Optional<ByteBuffer> correlation) {
    long now = clock.nanos();
    addresses.remove(id);
    addresses.put(id, new Address(topic, correlation, now));
    Iterator<Address> oldest = addresses.values().iterator();
    while (oldest.hasNext()) {
      boolean old = now - oldest.next().sinceNanos() > KEPT.toNanos();
      if (!old && addresses.size() <= MOST) {
        return;
      }
      oldest.remove();
    }
  }

  @Override
  public void answer(Decision.CommandAnswered answered, long seq, Optional<Phase> phase) {
    Optional<Address> address = take(answered.commandId());
    if (address.isEmpty()) {
      return;
    }
    send(
        address.get().topic(),
        address.get().correlation(),
        AnswerText.answered(answered, seq, phase));
  }

  /** Answers a command that was refused at the door; it has no record of its own to wait for. */
  void refuse(
      Optional<String> id,
      AnswerCode code,
      String detail,
      String topic,
      Optional<ByteBuffer> correlation) {
    send(topic, correlation, AnswerText.refused(id, code, detail));
  }

  private synchronized Optional<Address> take(String id) {
    return Optional.ofNullable(addresses.remove(id))
        .filter(address -> clock.nanos() - address.sinceNanos() <= KEPT.toNanos());
  }

  private void send(String topic, Optional<ByteBuffer> correlation, String json) {
    link.publish(
        OutMessage.answer(topic, json, WORTH, correlation),
        // An answer that is lost is asked for again: the same id gets the same answer.
        result -> {});
  }
}
