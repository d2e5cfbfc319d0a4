package org.borewarden.agent.peers;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Predicate;
import org.awaitility.Awaitility;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.MqttCallbackExtended;
import org.eclipse.paho.client.mqttv3.MqttClient;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;

/** Somebody else on the broker, with a durable session, who writes down what comes. */
public final class TestSubscriber implements AutoCloseable {
  private final MqttClient client;
  private final List<Heard> heard = new CopyOnWriteArrayList<>();
  private final List<Long> arrivedNanos = new CopyOnWriteArrayList<>();

  /**
   * A message.
   *
   * @param topic its topic
   * @param text its payload
   * @param retained whether the broker had kept it
   */
  public record Heard(String topic, String text, boolean retained) {}

  private TestSubscriber(MqttClient client) {
    this.client = client;
  }

  /**
   * Subscribes.
   *
   * @param port the broker
   * @param filter what to hear, with QoS 1
   * @return the subscriber
   * @throws MqttException when the broker is not there
   */
  public static TestSubscriber on(int port, String filter) throws MqttException {
    MqttClient client =
        new MqttClient(
            "tcp://127.0.0.1:" + port, MqttClient.generateClientId(), new MemoryPersistence());
    client.setTimeToWait(10_000);
    TestSubscriber subscriber = new TestSubscriber(client);
    client.setCallback(subscriber.new Callback());
    MqttConnectOptions options = new MqttConnectOptions();
    options.setCleanSession(false);
    options.setAutomaticReconnect(true);
    options.setMaxInflight(1000);
    options.setMaxReconnectDelay(1000);
    client.connect(options);
    client.subscribe(filter, 1);
    return subscriber;
  }

  /**
   * Publishes something.
   *
   * @param topic where
   * @param text what
   * @param retained whether the broker keeps it
   * @throws MqttException when the broker is not there
   */
  public void say(String topic, String text, boolean retained) throws MqttException {
    client.publish(topic, text.getBytes(StandardCharsets.UTF_8), 1, retained);
  }

  /**
   * What came so far.
   *
   * @return in order
   */
  public List<Heard> heard() {
    return new ArrayList<>(heard);
  }

  /**
   * When each of them came, in the same order.
   *
   * @return by {@link System#nanoTime}
   */
  public List<Long> arrivedNanos() {
    return new ArrayList<>(arrivedNanos);
  }

  /**
   * Waits for a message.
   *
   * @param what the message
   * @return the first such
   */
  public Heard await(Predicate<Heard> what) {
    Awaitility.await()
        .atMost(Duration.ofSeconds(30))
        .pollInterval(Duration.ofMillis(10))
        .until(() -> heard.stream().anyMatch(what));
    return heard.stream().filter(what).findFirst().orElseThrow();
  }

  /** The library refuses while it is connecting anew, so that may have to be waited for. */
  @Override
  public void close() {
    Awaitility.await()
        .atMost(Duration.ofSeconds(30))
        .ignoreExceptionsInstanceOf(MqttException.class)
        .untilAsserted(
            () -> {
              client.disconnectForcibly(0, 500);
              client.close(true);
            });
  }

  /** Writes down. */
  private final class Callback implements MqttCallbackExtended {
    @Override
    public void connectComplete(boolean reconnect, String serverUri) {
      // The session is durable.
    }

    @Override
    public void connectionLost(Throwable cause) {
      // The client comes back by itself.
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      arrivedNanos.add(System.nanoTime());
      heard.add(
          new Heard(
              topic,
              new String(message.getPayload(), StandardCharsets.UTF_8),
              message.isRetained()));
    }

    @Override
    public void deliveryComplete(IMqttDeliveryToken token) {
      // Not asked for.
    }
  }
}
