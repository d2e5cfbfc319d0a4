package org.borewarden.demo.story;

import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.cfg.JsonNodeFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BiConsumer;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;

/**
 * The supervisor's and the setter's end of the broker: hears everything below the root, and sends
 * commands.
 */
public final class Ear implements AutoCloseable {
  private static final long ANSWER_MILLIS = 5000;

  // Sizes keep their digits: 62.010 mm is not 62.01 mm.
  private final ObjectMapper json =
      JsonMapper.builder()
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build();
  private final MqttAsyncClient client;
  private final String root;
  private final Map<String, JsonNode> latest = new ConcurrentHashMap<>();
  private final List<BiConsumer<String, JsonNode>> listeners = new CopyOnWriteArrayList<>();

  Ear(int port, String root) throws MqttException {
    this(port, root, List.of("#"));
  }

  /**
   * Connects and subscribes.
   *
   * @param port the broker's port on loopback
   * @param root the topics' root
   * @param filters what to hear below it
   * @throws MqttException when the broker does not take it
   */
  public Ear(int port, String root, List<String> filters) throws MqttException {
    this.root = root;
    this.client =
        new MqttAsyncClient("tcp://127.0.0.1:" + port, "demo-ear", new MemoryPersistence());
    client.setCallback(new Hearing());
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(true);
    client.connect(options).waitForCompletion(ANSWER_MILLIS);
    for (String filter : filters) {
      client.subscribe(root + "/" + filter, 1).waitForCompletion(ANSWER_MILLIS);
    }
  }

  /**
   * Adds a listener.
   *
   * @param listener takes a topic below the root and its message; called on the client's thread,
   *     must not block
   */
  public void listen(BiConsumer<String, JsonNode> listener) {
    listeners.add(listener);
  }

  /**
   * The latest message on a topic.
   *
   * @param below the topic below the root
   * @return the message, if there was one
   */
  public Optional<JsonNode> latest(String below) {
    return Optional.ofNullable(latest.get(below));
  }

  /**
   * An empty command.
   *
   * @return an object with a new id
   */
  public ObjectNode command() {
    return json.createObjectNode().put("id", Ids.next());
  }

  /**
   * Sends a command; its answer comes on {@code answer/demo}.
   *
   * @param role the sender's role
   * @param name the command
   * @param command its fields
   * @throws MqttException when it cannot be sent
   */
  public void send(String role, String name, ObjectNode command) throws MqttException {
    MqttMessage message = new MqttMessage(command.toString().getBytes(StandardCharsets.UTF_8));
    message.setQos(1);
    MqttProperties properties = new MqttProperties();
    properties.setMessageExpiryInterval(30L);
    properties.setResponseTopic(root + "/answer/demo");
    message.setProperties(properties);
    client.publish(root + "/command/" + role + "/" + name, message);
  }

  private void heard(String topic, byte[] payload) {
    if (payload.length == 0 || !topic.startsWith(root + "/")) {
      return;
    }
    try {
      String below = topic.substring(root.length() + 1);
      JsonNode node = json.readTree(payload);
      latest.put(below, node);
      listeners.forEach(listener -> listener.accept(below, node));
    } catch (IOException e) {
      throw new IllegalStateException("not JSON on " + topic, e);
    }
  }

  @Override
  public void close() throws MqttException {
    client.disconnectForcibly(0, 500, false);
    client.close(true);
  }

  private final class Hearing implements MqttCallback {
    @Override
    public void messageArrived(String topic, MqttMessage message) {
      heard(topic, message.getPayload());
    }

    @Override
    public void disconnected(MqttDisconnectResponse response) {}

    @Override
    public void mqttErrorOccurred(MqttException exception) {}

    @Override
    public void deliveryComplete(IMqttToken token) {}

    @Override
    public void connectComplete(boolean reconnect, String serverUri) {}

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {}
  }
}
