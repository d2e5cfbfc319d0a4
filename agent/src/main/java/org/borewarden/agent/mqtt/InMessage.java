package org.borewarden.agent.mqtt;

import java.nio.ByteBuffer;
import java.util.Optional;

/**
 * A message that came on a subscribed topic.
 *
 * @param topic the whole topic
 * @param payload the bytes, read-only
 * @param retained whether the broker had kept it, or (MQTT 5) its sender asked for that
 * @param responseTopic where the sender wants an answer; MQTT 5 only
 * @param correlation what the sender wants back with the answer; MQTT 5 only
 */
public record InMessage(
    String topic,
    ByteBuffer payload,
    boolean retained,
    Optional<String> responseTopic,
    Optional<ByteBuffer> correlation) {
  /** Makes the buffers read-only. */
  public InMessage {
    payload = payload.asReadOnlyBuffer();
    correlation = correlation.map(ByteBuffer::asReadOnlyBuffer);
  }
}
