package org.borewarden.agent.source.mqtt;

import java.nio.ByteBuffer;
import java.util.List;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.config.MqttInLink;
import org.borewarden.agent.mqtt.InMessage;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.source.ByteLink;
import org.borewarden.agent.source.LinkException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Messages of a topic, each one frame. What a broker had retained is passed over, since nobody
 * knows when it was measured. Messages that come while the connection is lost are lost with it: the
 * broker keeps nothing for the agent, so that a reading is never judged late.
 */
public final class MessageLink implements ByteLink {
  /** Beyond these the agent is too slow by far; the port counts as lost until it has caught up. */
  static final int MOST_WAITING = 1_000;

  private static final Logger LOG = LoggerFactory.getLogger(MessageLink.class);

  private final MqttInLink topic;
  private final MqttLink broker;
  private final BlockingQueue<byte[]> waiting = new ArrayBlockingQueue<>(MOST_WAITING);
  private final AtomicLong overrun = new AtomicLong();
  private final AtomicLong retained = new AtomicLong();

  /**
   * Subscribes; before the connection is started.
   *
   * @param topic which messages
   * @param broker the connection that they come over
   */
  public MessageLink(MqttInLink topic, MqttLink broker) {
    this.topic = topic;
    this.broker = broker;
    broker.subscribe(List.of(topic.topic()), this::arrived);
  }

  @Override
  public void open() throws LinkException {
    long lost = overrun.getAndSet(0);
    if (lost > 0) {
      throw new LinkException(
          LinkException.OVERRUN,
          lost + " messages on " + name() + " came faster than they could be taken");
    }
    if (!broker.connected()) {
      throw new LinkException("no-broker", "waits for the broker: " + broker.state().detail());
    }
  }

  @Override
  public int read(byte[] buffer) {
    try {
      byte[] message = waiting.poll(TICK_MILLIS, TimeUnit.MILLISECONDS);
      if (message == null) {
        return broker.connected() && overrun.get() == 0 ? 0 : -1;
      }
      int length = Math.min(message.length, buffer.length);
      System.arraycopy(message, 0, buffer, 0, length);
      return length;
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
      return -1;
    }
  }

  /** The connection is the broker side's to close. */
  @Override
  public void close() {}

  @Override
  public boolean beginsWhole() {
    return true;
  }

  @Override
  public boolean isPresent() {
    return broker.connected();
  }

  @Override
  public String name() {
    return "topic " + topic.topic();
  }

  /** On a thread of the client: hands over and never waits. */
  private void arrived(InMessage message) {
    if (message.retained()) {
      if (retained.incrementAndGet() == 1) {
        LOG.info("{}: a retained message is passed over, as all later ones are", name());
      }
      return;
    }
    ByteBuffer payload = message.payload();
    byte[] bytes = new byte[payload.remaining()];
    payload.get(bytes);
    if (bytes.length > 0 && !waiting.offer(bytes)) {
      overrun.incrementAndGet();
    }
  }
}
