package org.borewarden.agent.faults;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.MqttCallback;
import org.eclipse.paho.client.mqttv3.MqttClient;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;

/**
 * A consumer of millions of records, who keeps none: of each topic it remembers the last seq, and
 * each record must name that one as the one before it. So it sees a gap and a changed order at
 * once. Thread-safe.
 */
final class ChainEar implements AutoCloseable {
  private final Map<String, Long> last = new HashMap<>();
  private final Optional<MqttClient> client;
  private long records;
  private long repeats;
  private Optional<String> wrong = Optional.empty();
  private Optional<Long> heldAfter = Optional.empty();

  private ChainEar(Optional<MqttClient> client) {
    this.client = client;
  }

  /** One without a broker, to be told by {@link #take}. */
  static ChainEar deaf() {
    return new ChainEar(Optional.empty());
  }

  static ChainEar on(int port, String filter) throws MqttException {
    MqttClient client =
        new MqttClient(
            "tcp://127.0.0.1:" + port, MqttClient.generateClientId(), new MemoryPersistence());
    ChainEar ear = new ChainEar(Optional.of(client));
    client.setCallback(ear.new Callback());
    client.connect(new MqttConnectOptions());
    client.subscribe(filter, 1);
    return ear;
  }

  /** Takes what came, in order of arrival. */
  synchronized void take(String topic, String payload) {
    JsonNode json = Story.tree(payload);
    if (topic.contains("/hold/") && json.path("state").asText().equals("requested")) {
      heldAfter = Optional.of(heldAfter.orElse(records));
    }
    if (!json.hasNonNull("seq") || !json.has("prev")) {
      return;
    }
    long seq = json.path("seq").asLong();
    long before = last.getOrDefault(topic, 0L);
    if (seq <= before) {
      repeats++;
      return;
    }
    if (wrong.isEmpty() && json.path("prev").asLong() != before) {
      wrong =
          Optional.of(topic + " " + seq + " follows " + before + ", expected " + json.path("prev"));
    }
    last.put(topic, seq);
    records++;
  }

  /** Records without their repeats. */
  synchronized long records() {
    return records;
  }

  synchronized long repeats() {
    return repeats;
  }

  /** The first gap or changed order. */
  synchronized Optional<String> wrong() {
    return wrong;
  }

  /** How many records had come when a hold was first heard. */
  synchronized Optional<Long> heldAfter() {
    return heldAfter;
  }

  @Override
  public void close() throws MqttException {
    if (client.isPresent()) {
      client.get().disconnectForcibly(0, 500);
      client.get().close(true);
    }
  }

  /** Of the library's thread. */
  private final class Callback implements MqttCallback {
    @Override
    public void connectionLost(Throwable cause) {
      // Then records are missed, and the test fails.
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      take(topic, new String(message.getPayload(), StandardCharsets.UTF_8));
    }

    @Override
    public void deliveryComplete(IMqttDeliveryToken token) {
      // Nothing is published.
    }
  }
}
