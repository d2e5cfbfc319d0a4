package org.borewarden.agent.mqtt;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.Consumer;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.mqtt.PublishResult.Outcome;

/**
 * One connection from CONNECT to its end. Owned by the link's thread; the answers come on threads
 * of the client and only touch what is thread-safe here.
 */
final class LinkConnection implements Wire.Events {
  /** How often the watchdog looks when nothing happens. */
  private static final long TICK_MILLIS = 500;

  /** From this window on the last place is kept for urgent messages. */
  private static final int KEEPS_A_PLACE = 4;

  private final LinkSettings settings;
  private final Wire wire;
  private final Outbound outbound;
  private final Consumer<InMessage> inbound;
  private final MonotonicClock clock;
  private final CompletableFuture<Greeting> greeted = new CompletableFuture<>();
  private final CompletableFuture<Loss> lost = new CompletableFuture<>();
  private final Set<Parcel> underWay = ConcurrentHashMap.newKeySet();
  private volatile Optional<String> end = Optional.empty();
  private volatile long progressNanos;
  private int window = 1;

  /**
   * Why a connection ended.
   *
   * @param why in words
   * @param reasonCode the broker's code; 0 where it gave none
   */
  record Loss(String why, int reasonCode) {}

  LinkConnection(
      LinkSettings settings,
      Wire wire,
      Outbound outbound,
      Consumer<InMessage> inbound,
      MonotonicClock clock) {
    this.settings = settings;
    this.wire = wire;
    this.outbound = outbound;
    this.inbound = inbound;
    this.clock = clock;
    this.progressNanos = clock.nanos();
  }

  /** Connects and subscribes; gives what the broker said of itself. */
  Greeting open(List<String> filters) throws LinkException, InterruptedException {
    wire.connect(this);
    Greeting greeting =
        within(settings.connectWithin(), greeted, "the broker did not answer CONNECT");
    window = Math.max(1, Math.min(settings.broker().window(), greeting.receiveMaximum() - 1));
    if (!filters.isEmpty()) {
      subscribe(filters);
    }
    return greeting;
  }

  private void subscribe(List<String> filters) throws LinkException, InterruptedException {
    CompletableFuture<Integer> subscribed = new CompletableFuture<>();
    wire.subscribe(filters, completing(subscribed));
    int code = within(settings.connectWithin(), subscribed, "the broker did not answer SUBSCRIBE");
    if (code >= ReasonCodes.LEAST_REFUSAL) {
      throw new LinkException(
          "the broker refuses the subscription " + filters + ": " + ReasonCodes.words(code), null);
    }
  }

  int window() {
    return window;
  }

  /** Sends what waits and watches, until the connection is lost. */
  Loss serve() throws InterruptedException {
    while (!lost.isDone() && end.isEmpty()) {
      pump();
      outbound.await(TICK_MILLIS);
      watch();
    }
    return lost.isDone() ? lost.join() : new Loss(end.orElse(""), 0);
  }

  /** We end it ourselves. Any thread. */
  void end(String why) {
    end = Optional.of(why);
    outbound.wake();
  }

  boolean ended() {
    return end.isPresent();
  }

  private void pump() {
    while (!lost.isDone() && underWay.size() < window) {
      boolean ordinaryToo = window < KEEPS_A_PLACE || underWay.size() < window - 1;
      var next = outbound.next(ordinaryToo);
      if (next.isEmpty()) {
        return;
      }
      send(next.get());
    }
  }

  private void send(Parcel parcel) {
    long now = clock.nanos();
    if (parcel.expired(now)) {
      parcel.finish(Outcome.NOT_SENT, 0, "it was worthless before it could be sent", now);
      return;
    }
    if (underWay.isEmpty()) {
      progressNanos = now;
    }
    underWay.add(parcel);
    parcel.sent(now);
    try {
      wire.publish(parcel.message(), new Delivery(parcel));
    } catch (LinkException unusable) {
      // A client that refused one publish may send the next one wrongly: give it up whole.
      lost(unusable.getMessage() == null ? "unusable" : unusable.getMessage(), 0);
    }
  }

  private void watch() {
    Duration silent = Duration.ofNanos(clock.nanos() - progressNanos);
    if (!underWay.isEmpty() && silent.compareTo(settings.ackWithin()) > 0) {
      lost(
          "no acknowledgement for "
              + silent.toSeconds()
              + " s: the broker is frozen or the network is cut",
          0);
    }
  }

  /** Says farewell if the connection stands, waiting a little. */
  void farewell(Duration within) throws InterruptedException {
    if (lost.isDone() || !greeted.isDone() || greeted.isCompletedExceptionally()) {
      return;
    }
    CompletableFuture<Integer> said = new CompletableFuture<>();
    try {
      wire.farewell(completing(said));
      within(within, said, "no farewell");
    } catch (LinkException alreadyApart) {
      // There is nobody to say it to.
      lost("closed", 0);
    }
  }

  /** Everything under way is lost; nothing that comes later changes that. */
  void bury(String why) {
    lost(why, 0);
    long now = clock.nanos();
    for (Parcel parcel : underWay) {
      parcel.finish(Outcome.LOST, 0, why, now);
    }
    underWay.clear();
  }

  private <T> T within(Duration time, CompletableFuture<T> answer, String otherwise)
      throws LinkException, InterruptedException {
    try {
      return answer.get(time.toMillis(), TimeUnit.MILLISECONDS);
    } catch (ExecutionException refused) {
      if (refused.getCause() instanceof LinkException told) {
        throw told;
      }
      throw new IllegalStateException(refused);
    } catch (TimeoutException silent) {
      throw new LinkException(otherwise + " within " + time.toSeconds() + " s", silent);
    }
  }

  private static Wire.Answer completing(CompletableFuture<Integer> future) {
    return new Wire.Answer() {
      @Override
      public void answered(int reasonCode) {
        future.complete(reasonCode);
      }

      @Override
      public void failed(String why) {
        future.completeExceptionally(new LinkException(why, null));
      }
    };
  }

  @Override
  public void connected(Greeting greeting) {
    greeted.complete(greeting);
  }

  @Override
  public void refused(String why, int reasonCode) {
    greeted.completeExceptionally(new LinkException(why, null));
  }

  @Override
  public void lost(String why, int reasonCode) {
    lost.complete(new Loss(why, reasonCode));
    greeted.completeExceptionally(new LinkException(why, null));
    outbound.wake();
  }

  @Override
  public void arrived(InMessage message) {
    inbound.accept(message);
  }

  /** Hears the broker's answer to one publish. */
  private final class Delivery implements Wire.Answer {
    private final Parcel parcel;

    Delivery(Parcel parcel) {
      this.parcel = parcel;
    }

    @Override
    public void answered(int reasonCode) {
      long now = clock.nanos();
      progressNanos = now;
      boolean refused = reasonCode >= ReasonCodes.LEAST_REFUSAL;
      parcel.finish(
          refused ? Outcome.REFUSED : Outcome.ACCEPTED,
          reasonCode,
          ReasonCodes.words(reasonCode),
          now);
      release();
    }

    @Override
    public void failed(String why) {
      parcel.finish(Outcome.LOST, 0, why, clock.nanos());
      release();
    }

    private void release() {
      underWay.remove(parcel);
      outbound.wake();
    }
  }
}
