package org.borewarden.agent.publish.mqtt;

import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.Outbox;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Publishes the outbox in order, a window at a time, and reports what the broker has taken. What
 * may go when is decided by {@link RecordWindow}; this has the thread, {@code publisher}, and the
 * link.
 */
public final class RecordPublisher implements AutoCloseable {
  private static final Logger LOG = LoggerFactory.getLogger(RecordPublisher.class);
  private static final long IDLE_MILLIS = 200;
  private static final long ACK_MILLIS = 20;
  private static final long JOURNAL_RETRY_MILLIS = 1000;
  private static final long CLOSE_MILLIS = 2000;

  private final MqttLink link;
  private final Outbox outbox;
  private final Canary canary;
  private final Thread thread;
  private final LinkedBlockingQueue<News> news = new LinkedBlockingQueue<>();

  // Owned by the thread.
  private final RecordWindow window;
  private volatile boolean stopping;

  /** What other threads tell this one. */
  private sealed interface News {
    /**
     * The link changed.
     *
     * @param state how it stands now
     */
    record Link(LinkState state) implements News {}

    /**
     * A row was answered.
     *
     * @param connection the connection on which it was sent
     * @param seq the row, or {@link RecordWindow#PROBE}
     * @param result what became of it
     */
    record Answered(long connection, long seq, PublishResult result) implements News {}
  }

  /**
   * Makes a publisher; it listens to the link, so make it before the link is started.
   *
   * @param link the record link
   * @param outbox what has to be published
   * @param envelope what every record carries
   * @param topics where to publish
   * @param limits what bounds a record
   * @param clock for durations
   * @param delivery hears whether the broker delivers what it accepts, and what becomes of records
   */
  public RecordPublisher(
      MqttLink link,
      Outbox outbox,
      Envelope envelope,
      Topics topics,
      RecordLimits limits,
      MonotonicClock clock,
      DeliveryListener delivery) {
    this.link = link;
    this.outbox = outbox;
    this.window =
        new RecordWindow(
            new Sender(), outbox, envelope, topics, limits, clock, link.state(), delivery);
    this.canary = new Canary(link, topics, clock, delivery);
    this.thread = new Thread(this::run, "publisher");
    this.thread.setDaemon(true);
    link.listen(this::linkChanged);
  }

  /** Sends on the link; the answer is news. */
  private final class Sender implements RecordWindow.Way {
    @Override
    public void send(long connection, long seq, OutMessage message) {
      link.publish(message, result -> news.add(new News.Answered(connection, seq, result)));
    }

    @Override
    public void forgive() {
      link.forgive();
    }
  }

  private void linkChanged(LinkState state) {
    if (state.connected()) {
      canary.connected(state);
    } else {
      canary.lost();
    }
    news.add(new News.Link(state));
  }

  /** Starts the thread. */
  public void start() {
    thread.start();
  }

  /**
   * The rows that were set aside since the start.
   *
   * @return the count, for metrics
   */
  public long setAside() {
    return window.setAside();
  }

  private void run() {
    while (!stopping) {
      try {
        turn();
      } catch (JournalException unreadable) {
        LOG.warn("cannot read the outbox: {}", unreadable.getMessage());
        pauseAfterFault();
      } catch (InterruptedException stop) {
        // Only close() interrupts, and it has set the flag that ends the loop.
      }
    }
  }

  private void pauseAfterFault() {
    try {
      hear(JOURNAL_RETRY_MILLIS);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  private void turn() throws JournalException, InterruptedException {
    hear(0);
    canary.due();
    if (!window.connected()) {
      hear(IDLE_MILLIS);
      return;
    }
    window.fill();
    if (window.awaitsAnswer()) {
      hear(ACK_MILLIS);
    } else if (!window.hasRows()) {
      outbox.awaitWork(IDLE_MILLIS);
    } else {
      hear(ACK_MILLIS);
    }
  }

  /** Takes in all news, waiting for the first of it. */
  private void hear(long millis) throws InterruptedException {
    Optional<News> next = Optional.ofNullable(news.poll(millis, TimeUnit.MILLISECONDS));
    while (next.isPresent()) {
      take(next.get());
      next = Optional.ofNullable(news.poll());
    }
  }

  private void take(News item) {
    if (item instanceof News.Link changed) {
      window.linkChanged(changed.state());
    } else if (item instanceof News.Answered answered) {
      window.answered(answered.connection(), answered.seq(), answered.result());
    }
  }

  /** Stops the thread; what is under way stays in the outbox. Idempotent. */
  @Override
  public void close() {
    stopping = true;
    thread.interrupt();
    try {
      thread.join(Duration.ofMillis(CLOSE_MILLIS).toMillis());
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
