package org.borewarden.agent.mqtt;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.eclipse.paho.mqttv5.client.IMqttToken;
import org.eclipse.paho.mqttv5.client.MqttActionListener;
import org.eclipse.paho.mqttv5.client.MqttAsyncClient;
import org.eclipse.paho.mqttv5.client.MqttCallback;
import org.eclipse.paho.mqttv5.client.MqttConnectionOptions;
import org.eclipse.paho.mqttv5.client.MqttDisconnectResponse;
import org.eclipse.paho.mqttv5.client.persist.MemoryPersistence;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.eclipse.paho.mqttv5.common.MqttMessage;
import org.eclipse.paho.mqttv5.common.MqttSubscription;
import org.eclipse.paho.mqttv5.common.packet.MqttProperties;
import org.eclipse.paho.mqttv5.common.packet.UserProperty;
import org.jspecify.annotations.Nullable;

/**
 * MQTT 5 through Eclipse Paho. Nothing of the client that outlives a connection is used; neither
 * are topic aliases toward us, which it gets wrong.
 */
final class WireV5 implements Wire {
  private static final int MOST = 65_535;
  private static final String JSON = "application/json";
  private static final UserProperty SCHEMA = new UserProperty("schema", "1");
  private static final int FAREWELL_MILLIS = 300;

  private final LinkSettings settings;
  private final LinkSocketFactory sockets;
  private final FailureWords words;
  private final MqttAsyncClient client;

  WireV5(LinkSettings settings, LinkSocketFactory sockets) throws LinkException {
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
    MqttConnectionOptions options = options();
    try {
      client.connect(
          options,
          null,
          new MqttActionListener() {
            @Override
            public void onSuccess(IMqttToken token) {
              events.connected(greeting(token.getResponseProperties()));
            }

            @Override
            public void onFailure(IMqttToken token, Throwable failure) {
              int code = reasonCode(failure);
              events.refused(code > 0 ? ReasonCodes.words(code) : words.of(failure, true), code);
            }
          });
    } catch (MqttException refused) {
      throw new LinkException(words.of(refused, true), refused);
    }
  }

  private MqttConnectionOptions options() throws LinkException {
    MqttConnectionOptions options = new MqttConnectionOptions();
    options.setCleanStart(true);
    options.setSessionExpiryInterval(0L);
    options.setAutomaticReconnect(false);
    options.setKeepAliveInterval((int) settings.broker().keepAlive().toSeconds());
    options.setConnectionTimeout((int) Math.max(1, settings.connectWithin().toSeconds()));
    options.setSocketFactory(sockets);
    settings.broker().user().ifPresent(options::setUserName);
    if (settings.broker().password().isPresent()) {
      String password = Secrets.read(settings.broker().password().get());
      options.setPassword(password.getBytes(StandardCharsets.UTF_8));
    }
    settings.will().ifPresent(will -> setWill(options, will));
    return options;
  }

  private static void setWill(MqttConnectionOptions options, Will will) {
    MqttMessage message = new MqttMessage(will.payload().getBytes(StandardCharsets.UTF_8));
    message.setQos(1);
    message.setRetained(will.retained());
    options.setWill(will.topic(), message);
    MqttProperties properties = new MqttProperties();
    properties.setContentType(JSON);
    properties.setPayloadFormat(true);
    if (!will.delay().isZero()) {
      properties.setWillDelayInterval(will.delay().toSeconds());
      // A will is due at the latest when the session ends.
      options.setSessionExpiryInterval(will.delay().toSeconds() + 1);
    }
    options.setWillMessageProperties(properties);
  }

  private static Greeting greeting(@Nullable MqttProperties properties) {
    Optional<MqttProperties> given = Optional.ofNullable(properties);
    int receiveMaximum =
        given.flatMap(p -> Optional.ofNullable(p.getReceiveMaximum())).orElse(MOST);
    OptionalLong longest =
        given
            .flatMap(p -> Optional.ofNullable(p.getMaximumPacketSize()))
            .map(OptionalLong::of)
            .orElse(OptionalLong.empty());
    return new Greeting(receiveMaximum, longest);
  }

  @Override
  public void publish(OutMessage message, Answer answer) throws LinkException {
    MqttMessage packet = new MqttMessage(message.payload().getBytes(StandardCharsets.UTF_8));
    packet.setQos(message.qos());
    packet.setRetained(message.retained());
    packet.setProperties(properties(message));
    try {
      client.publish(message.topic(), packet, null, listener(answer));
    } catch (MqttException refused) {
      throw new LinkException("the MQTT client refuses: " + refused.getMessage(), refused);
    }
  }

  private static MqttProperties properties(OutMessage message) {
    MqttProperties properties = new MqttProperties();
    properties.setContentType(JSON);
    properties.setPayloadFormat(true);
    properties.setUserProperties(
        message.rules().isEmpty()
            ? List.of(SCHEMA)
            : List.of(SCHEMA, new UserProperty("rules", message.rules())));
    message.expiry().ifPresent(expiry -> properties.setMessageExpiryInterval(wholeSeconds(expiry)));
    message.correlation().ifPresent(bytes -> properties.setCorrelationData(copy(bytes)));
    return properties;
  }

  private static long wholeSeconds(Duration expiry) {
    return Math.max(1, expiry.plusMillis(999).toSeconds());
  }

  private static byte[] copy(ByteBuffer buffer) {
    byte[] bytes = new byte[buffer.remaining()];
    buffer.duplicate().get(bytes);
    return bytes;
  }

  @Override
  public void subscribe(List<String> filters, Answer answer) throws LinkException {
    MqttSubscription[] subscriptions =
        filters.stream().map(WireV5::subscription).toArray(MqttSubscription[]::new);
    try {
      client.subscribe(subscriptions, null, listener(answer), new MqttProperties());
    } catch (MqttException refused) {
      throw new LinkException("the MQTT client refuses: " + refused.getMessage(), refused);
    }
  }

  private static MqttSubscription subscription(String filter) {
    MqttSubscription subscription = new MqttSubscription(filter, 1);
    // So that a command that was sent as retained can be told and refused.
    subscription.setRetainAsPublished(true);
    return subscription;
  }

  @Override
  public void farewell(Answer answer) throws LinkException {
    try {
      client.disconnect(FAREWELL_MILLIS, null, listener(answer), 0, new MqttProperties());
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

  private static MqttActionListener listener(Answer answer) {
    return new MqttActionListener() {
      @Override
      public void onSuccess(IMqttToken token) {
        // A refusal counts as success for the client; only the codes tell.
        answer.answered(worst(token.getReasonCodes()));
      }

      @Override
      public void onFailure(IMqttToken token, Throwable failure) {
        int code = reasonCode(failure);
        if (code >= ReasonCodes.LEAST_REFUSAL) {
          answer.answered(code);
        } else {
          answer.failed("the connection was lost");
        }
      }
    };
  }

  private static int worst(int @Nullable [] codes) {
    int worst = 0;
    if (codes != null) {
      for (int code : codes) {
        worst = Math.max(worst, code);
      }
    }
    return worst;
  }

  /** The broker's code in a failure; 0 where the client made the failure itself. */
  private static int reasonCode(@Nullable Throwable failure) {
    if (failure instanceof MqttException told
        && told.getReasonCode() >= ReasonCodes.LEAST_REFUSAL
        && told.getReasonCode() <= 0xFF) {
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
    public void disconnected(MqttDisconnectResponse response) {
      int code = response.getReturnCode();
      if (code >= ReasonCodes.LEAST_REFUSAL && code <= 0xFF) {
        events.lost(ReasonCodes.words(code), code);
      } else {
        int inside = reasonCode(response.getException());
        events.lost(
            inside > 0 ? ReasonCodes.words(inside) : words.of(response.getException(), false),
            inside);
      }
    }

    @Override
    public void mqttErrorOccurred(MqttException error) {
      events.lost(words.of(error, false), reasonCode(error));
    }

    @Override
    public void messageArrived(String topic, MqttMessage message) {
      Optional<MqttProperties> properties = Optional.ofNullable(message.getProperties());
      events.arrived(
          new InMessage(
              topic,
              ByteBuffer.wrap(message.getPayload()),
              message.isRetained(),
              properties.flatMap(p -> Optional.ofNullable(p.getResponseTopic())),
              properties
                  .flatMap(p -> Optional.ofNullable(p.getCorrelationData()))
                  .map(ByteBuffer::wrap)));
    }

    @Override
    public void deliveryComplete(IMqttToken token) {
      // The listener of each publish hears it.
    }

    @Override
    public void connectComplete(boolean reconnect, String serverUri) {
      // The listener of connect hears it.
    }

    @Override
    public void authPacketArrived(int reasonCode, MqttProperties properties) {
      // Extended authentication is not used.
    }
  }
}
