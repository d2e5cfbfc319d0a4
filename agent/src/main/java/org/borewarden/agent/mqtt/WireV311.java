package org.borewarden.agent.mqtt;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.eclipse.paho.client.mqttv3.IMqttActionListener;
import org.eclipse.paho.client.mqttv3.IMqttDeliveryToken;
import org.eclipse.paho.client.mqttv3.IMqttToken;
import org.eclipse.paho.client.mqttv3.MqttAsyncClient;
import org.eclipse.paho.client.mqttv3.MqttCallback;
import org.eclipse.paho.client.mqttv3.MqttConnectOptions;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;
import org.jspecify.annotations.Nullable;

/**
 * MQTT 3.1.1 through Eclipse Paho. It has no reason codes: a publish that the broker's access list
 * denies looks like any other, and only the canary tells.
 */
final class WireV311 implements Wire {
  /** The window that the client is opened with; ours is smaller. */
  private static final int CLIENT_WINDOW = 64;

  private static final int FAREWELL_MILLIS = 300;
  private static final int HIGHEST_RETURN_CODE = 5;
  private static final int SUBSCRIPTION_REFUSED = 0x80;

  private final LinkSettings settings;
  private final LinkSocketFactory sockets;
  private final FailureWords words;
  private final MqttAsyncClient client;

  WireV311(LinkSettings settings, LinkSocketFactory sockets) throws LinkException {
    this.settings = settings;
    this.sockets = sockets;
    this.words = new FailureWords(settings);
    try {
      // The address is not used: the socket factory knows where to connect.
      this.client =
          new MqttAsyncClient(
              "tcp://localhost:" + settings.port(), settings.clientId(), new MemoryPersistence());
    } catch (MqttException refused) {
      throw new LinkException("the MQTT client refuses: " + refused.getMessage(), refused);
    }
  }

  @Override
  public void connect(Events events) throws LinkException {
    client.setCallback(new Callbacks(events));
    MqttConnectOptions options = options();
    try {
      client.connect(
          options,
          null,
          new IMqttActionListener() {
            @Override
            public void onSuccess(IMqttToken token) {
              events.connected(new Greeting(CLIENT_WINDOW, OptionalLong.empty()));
            }

            @Override
            public void onFailure(IMqttToken token, Throwable failure) {
              int code = returnCode(failure);
              events.refused(code > 0 ? ReasonCodes.oldWords(code) : words.of(failure, true), code);
            }
          });
    } catch (MqttException refused) {
      throw new LinkException(words.of(refused, true), refused);
    }
  }

  private MqttConnectOptions options() throws LinkException {
    MqttConnectOptions options = new MqttConnectOptions();
    options.setMqttVersion(MqttConnectOptions.MQTT_VERSION_3_1_1);
    options.setCleanSession(true);
    options.setAutomaticReconnect(false);
    options.setMaxInflight(CLIENT_WINDOW);
    options.setKeepAliveInterval((int) settings.broker().keepAlive().toSeconds());
    options.setConnectionTimeout((int) Math.max(1, settings.connectWithin().toSeconds()));
    options.setSocketFactory(sockets);
    settings.broker().user().ifPresent(options::setUserName);
    if (settings.broker().password().isPresent()) {
      options.setPassword(Secrets.read(settings.broker().password().get()).toCharArray());
    }
    settings
        .will()
        .ifPresent(
            will ->
                options.setWill(
                    will.topic(),
                    will.payload().getBytes(StandardCharsets.UTF_8),
                    1,
                    will.retained()));
    return options;
  }

  @Override
  public void publish(OutMessage message, Answer answer) throws LinkException {
    MqttMessage packet = new MqttMessage(message.payload().getBytes(StandardCharsets.UTF_8));
    packet.setQos(message.qos());
    packet.setRetained(message.retained());
    try {
      client.publish(message.topic(), packet, null, listener(answer));
    } catch (MqttException refused) {
      throw new LinkException("the MQTT client refuses: " + refused.getMessage(), refused);
    }
  }

  @Override
  public void subscribe(List<String> filters, Answer answer) throws LinkException {
    int[] qos = new int[filters.size()];
    Arrays.fill(qos, 1);
    try {
      client.subscribe(
          filters.toArray(new String[0]),
          qos,
          null,
          new IMqttActionListener() {
            @Override
            public void onSuccess(IMqttToken token) {
              boolean refused =
                  Arrays.stream(token.getGrantedQos()).anyMatch(q -> q >= SUBSCRIPTION_REFUSED);
              answer.answered(refused ? ReasonCodes.LEAST_REFUSAL : 0);
            }

            @Override
            public void onFailure(IMqttToken token, Throwable failure) {
              if (token.isComplete()
                  && failure instanceof MqttException told
                  && told.getReasonCode() == MqttException.REASON_CODE_SUBSCRIBE_FAILED) {
                answer.answered(ReasonCodes.LEAST_REFUSAL);
              } else {
                answer.failed("the connection was lost");
              }
            }
          });
    } catch (MqttException refused) {
      throw new LinkException("the MQTT client refuses: " + refused.getMessage(), refused);
    }
  }

  @Override
  public void farewell(Answer answer) throws LinkException {
    try {
      client.disconnect(FAREWELL_MILLIS, null, listener(answer));
    } catch (MqttException refused) {
      throw new LinkException("the MQTT client refuses: " + refused.getMessage(), refused);
    }
  }

  @Override
  public void discard() {
    sockets.abort();
    try {
      client.disconnectForcibly(0, 0, false);
    } catch (MqttException alreadyApart) {
      // What is wanted is the state after it.
    }
    try {
      client.close(true);
    } catch (MqttException alreadyClosed) {
      // What is wanted is the state after it.
    }
  }

  private static IMqttActionListener listener(Answer answer) {
    return new IMqttActionListener() {
      @Override
      public void onSuccess(IMqttToken token) {
        answer.answered(0);
      }

      @Override
      public void onFailure(IMqttToken token, Throwable failure) {
        answer.failed("the connection was lost");
      }
    };
  }

  private static int returnCode(@Nullable Throwable failure) {
    if (failure instanceof MqttException told
        && told.getReasonCode() >= 1
        && told.getReasonCode() <= HIGHEST_RETURN_CODE) {
      return told.getReasonCode();
    }
    return 0;
  }

  /** Hands over what the client says. */
  private final class Callbacks implements MqttCallback {
    private final Events events;

    Callbacks(Events events) {
      this.events = events;
    }

    @Override
    public void connectionLost(Throwable failure) {
      events.lost(words.of(failure, false), 0);
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      events.arrived(
          new InMessage(
              topic,
              ByteBuffer.wrap(message.getPayload()),
              message.isRetained(),
              Optional.empty(),
              Optional.empty()));
    }

    @Override
    public void deliveryComplete(IMqttDeliveryToken token) {
      // The listener of each publish hears it.
    }
  }
}
