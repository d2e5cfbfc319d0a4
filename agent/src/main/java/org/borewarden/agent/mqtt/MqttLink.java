package org.borewarden.agent.mqtt;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import javax.net.ssl.SSLContext;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.mqtt.PublishResult.Outcome;
import org.eclipse.paho.mqttv5.common.util.MqttTopicValidator;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Keeps one connection to a broker: connects, subscribes, sends, watches, and begins anew when it
 * is lost, for as long as it is open.
 *
 * <p>One thread, {@code mqtt-<name>}, owns all of it. {@link #publish} may be called from any
 * thread and never waits. Listeners and handlers are called on threads of the link or of the client
 * and must only hand over.
 *
 * <p>A lost connection is given up whole: its socket is closed hard, its client object is thrown
 * away on a thread of its own (which the client may block, counted by {@link #unfreed()}), what was
 * under way on it is told as lost, and a new client object connects after a random wait.
 */
public final class MqttLink implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(MqttLink.class);
  private static final Duration FAREWELL_WITHIN = Duration.ofMillis(600);
  private static final long DISCARD_MILLIS = 1500;
  private static final long DISCARD_AT_CLOSE_MILLIS = 1200;
  private static final long CLOSE_MILLIS = 2000;
  private static final int KICKS_TO_WONDER = 3;

  private final LinkSettings settings;
  private final MonotonicClock clock;
  private final Backoff backoff;
  private final Outbound outbound = new Outbound();
  private final List<LinkListener> listeners = new CopyOnWriteArrayList<>();
  private final List<Subscription> subscriptions = new CopyOnWriteArrayList<>();
  private final AtomicInteger unfreed = new AtomicInteger();
  private final AtomicBoolean forgive = new AtomicBoolean();
  private final AtomicBoolean started = new AtomicBoolean();
  private final Thread thread;
  private volatile boolean stopping;
  private volatile Optional<LinkConnection> serving = Optional.empty();
  private volatile LinkState state;
  private String lastFailure = "";
  private int kicks;

  /**
   * Filters and who gets what matches them.
   *
   * @param filters topic filters
   * @param handler who gets it
   */
  private record Subscription(List<String> filters, Consumer<InMessage> handler) {}

  /**
   * Makes a link; it does nothing before {@link #start()}.
   *
   * @param settings what it needs to know
   * @param random for the waits between attempts; give each agent its own
   * @param clock for durations
   */
  public MqttLink(LinkSettings settings, Random random, MonotonicClock clock) {
    ClientLogs.quiet();
    this.settings = settings;
    this.clock = clock;
    this.backoff = new Backoff(settings, random);
    this.thread = new Thread(this::run, "mqtt-" + settings.name());
    this.thread.setDaemon(true);
    this.state =
        new LinkState(
            settings.name(), false, "not started", Optional.empty(), 0, 1, OptionalLong.empty(), 0);
  }

  /**
   * Adds who hears of changes. Before {@link #start()}.
   *
   * @param listener called on the link's thread
   */
  public void listen(LinkListener listener) {
    listeners.add(listener);
  }

  /**
   * Subscribes with QoS 1, at each connection anew. Before {@link #start()}.
   *
   * @param filters topic filters
   * @param handler gets what matches; called on a thread of the client, must only hand over
   */
  public void subscribe(List<String> filters, Consumer<InMessage> handler) {
    subscriptions.add(new Subscription(List.copyOf(filters), handler));
  }

  /** Starts the thread. */
  public void start() {
    if (started.compareAndSet(false, true)) {
      thread.start();
    }
  }

  /**
   * Publishes if the link stands. Any thread; never waits.
   *
   * @param message the message
   * @param listener hears once what became of it, perhaps before this returns
   */
  public void publish(OutMessage message, PublishListener listener) {
    Parcel parcel = new Parcel(message, listener, clock.nanos());
    if (!state.connected()) {
      parcel.finish(Outcome.NOT_SENT, 0, "not connected", clock.nanos());
    } else if (!outbound.offer(parcel)) {
      parcel.finish(Outcome.NOT_SENT, 0, "too much waits to be sent", clock.nanos());
    } else if (!state.connected()) {
      // Lost meanwhile: nobody may come for it before the next connection.
      drain("not connected");
    }
  }

  /**
   * Whether messages can be published.
   *
   * @return true while a connection stands
   */
  public boolean connected() {
    return state.connected();
  }

  /**
   * How the link stands.
   *
   * @return a snapshot
   */
  public LinkState state() {
    return state;
  }

  /**
   * The client objects of lost connections that are not freed yet; each keeps a few threads. Zero
   * but for moments: one that stays is a client that hangs.
   *
   * @return the count now
   */
  public int unfreed() {
    return unfreed.get();
  }

  /** The cause of the recent losses was found and removed: the next wait is short again. */
  public void forgive() {
    forgive.set(true);
  }

  /**
   * Takes up a new connection in place of the one that stands, as after a renewed certificate. Says
   * farewell first, so that the will is not sent. Any thread; never waits. Without a connection
   * nothing happens: the next one reads everything anew.
   *
   * @param why in words
   */
  public void renew(String why) {
    serving.ifPresent(
        connection -> {
          forgive();
          connection.end(why);
        });
  }

  private void run() {
    long connection = 0;
    while (!stopping) {
      try {
        connection++;
        attempt(connection);
        pause();
      } catch (InterruptedException stop) {
        // Only close() interrupts, and it has set the flag that ends the loop.
      }
    }
    drain("closed");
    tell(false, "closed", connection, 1, OptionalLong.empty());
  }

  private void attempt(long number) throws InterruptedException {
    Optional<Wire> made = Optional.empty();
    Optional<LinkConnection> opened = Optional.empty();
    try {
      Wire wire = wire();
      made = Optional.of(wire);
      LinkConnection connection = new LinkConnection(settings, wire, outbound, this::route, clock);
      opened = Optional.of(connection);
      Greeting greeting = connection.open(filters());
      serve(connection, greeting, number);
    } catch (LinkException failed) {
      failed(failed, number);
    } finally {
      opened.ifPresent(connection -> connection.bury("the connection was lost"));
      made.ifPresent(this::discard);
    }
  }

  private void serve(LinkConnection connection, Greeting greeting, long number)
      throws InterruptedException {
    long since = clock.nanos();
    lastFailure = "";
    tell(true, "connected", number, connection.window(), greeting.longestPacket());
    LOG.info("{}: connected to {}", settings.name(), settings.broker().url());
    serving = Optional.of(connection);
    try {
      LinkConnection.Loss loss = connection.serve();
      serving = Optional.empty();
      if (connection.ended()) {
        connection.farewell(FAREWELL_WITHIN);
      }
      String why = loss.why();
      count(loss, Duration.ofNanos(clock.nanos() - since));
      LOG.info("{}: connection lost: {}", settings.name(), why);
      hint().ifPresent(hint -> LOG.warn("{}: {}", settings.name(), hint));
      lastFailure = why;
      tell(false, why, number, 1, OptionalLong.empty());
    } catch (InterruptedException stop) {
      connection.farewell(FAREWELL_WITHIN);
      throw stop;
    } finally {
      serving = Optional.empty();
      backoff.lostAfter(Duration.ofNanos(clock.nanos() - since));
      tellUnlessTold(number);
      connection.bury("the connection was lost");
      drain("the connection was lost");
    }
  }

  private void count(LinkConnection.Loss loss, Duration held) {
    kicks = held.compareTo(settings.stableAfter()) < 0 ? kicks + 1 : 0;
    if (loss.reasonCode() == ReasonCodes.TAKEN_OVER) {
      backoff.takenOver();
    }
  }

  /** Many brokers just close when another client comes with our id. */
  private Optional<String> hint() {
    return kicks < KICKS_TO_WONDER
        ? Optional.empty()
        : Optional.of(
            "lost "
                + kicks
                + " times soon after it was made; does another client use the client id "
                + settings.clientId()
                + "?");
  }

  private void tellUnlessTold(long number) {
    if (state.connected()) {
      tell(false, "closed", number, 1, OptionalLong.empty());
    }
  }

  private void failed(LinkException failure, long number) {
    String why = String.valueOf(failure.getMessage());
    if (!why.equals(lastFailure)) {
      lastFailure = why;
      LOG.warn("{}: cannot connect to {}: {}", settings.name(), settings.broker().url(), why);
      tell(false, why, number, 1, OptionalLong.empty());
    } else {
      state =
          new LinkState(
              settings.name(),
              false,
              why,
              hint(),
              number,
              1,
              OptionalLong.empty(),
              backoff.failures() + 1);
    }
  }

  private void pause() throws InterruptedException {
    if (forgive.getAndSet(false)) {
      backoff.forget();
    }
    Duration wait = backoff.next();
    Thread.sleep(wait.toMillis());
  }

  private Wire wire() throws LinkException {
    Optional<SSLContext> tls = Optional.empty();
    if (settings.encrypted()) {
      tls = Optional.of(TlsMaterial.load(settings.broker().tls()));
    }
    LinkSocketFactory sockets = new LinkSocketFactory(settings.host(), settings.port(), tls);
    return settings.broker().version() == BrokerConfig.Version.V5
        ? new WireV5(settings, sockets)
        : new WireV311(settings, sockets);
  }

  private List<String> filters() {
    List<String> all = new ArrayList<>();
    subscriptions.forEach(subscription -> all.addAll(subscription.filters()));
    return all;
  }

  private void route(InMessage message) {
    for (Subscription subscription : subscriptions) {
      if (subscription.filters().stream()
          .anyMatch(filter -> MqttTopicValidator.isMatched(filter, message.topic()))) {
        subscription.handler().accept(message);
      }
    }
  }

  private void discard(Wire wire) {
    unfreed.incrementAndGet();
    Thread closer = new Thread(() -> free(wire), "mqtt-" + settings.name() + "-discard");
    closer.setDaemon(true);
    closer.start();
    boolean interrupted = false;
    try {
      closer.join(stopping ? DISCARD_AT_CLOSE_MILLIS : DISCARD_MILLIS);
    } catch (InterruptedException stop) {
      interrupted = true;
    }
    if (closer.isAlive()) {
      LOG.warn("{}: a client object could not be freed in time", settings.name());
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }

  private void free(Wire wire) {
    wire.discard();
    unfreed.decrementAndGet();
  }

  private void drain(String why) {
    long now = clock.nanos();
    outbound.drain().forEach(parcel -> parcel.finish(Outcome.NOT_SENT, 0, why, now));
  }

  private void tell(
      boolean connected, String detail, long connection, int window, OptionalLong longest) {
    LinkState next =
        new LinkState(
            settings.name(),
            connected,
            detail,
            hint(),
            connection,
            window,
            longest,
            backoff.failures());
    state = next;
    listeners.forEach(listener -> listener.changed(next));
  }

  /** Says farewell, so that the will is not sent, and stops within two seconds. Idempotent. */
  @Override
  public void close() {
    stopping = true;
    thread.interrupt();
    boolean interrupted = false;
    try {
      thread.join(CLOSE_MILLIS);
    } catch (InterruptedException stop) {
      interrupted = true;
    }
    if (thread.isAlive()) {
      LOG.warn("{}: did not stop within {} ms", settings.name(), CLOSE_MILLIS);
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }
}
