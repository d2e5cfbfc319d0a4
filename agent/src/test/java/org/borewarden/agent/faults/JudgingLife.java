package org.borewarden.agent.faults;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.Outbox;
import org.borewarden.agent.loop.Inbox;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Replay;
import org.borewarden.agent.loop.Turn;
import org.borewarden.agent.payload.Coded;
import org.borewarden.agent.payload.DecisionCodec;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.rules.engine.Event;

/**
 * One life of the agent's inner half: journal, replay, loop and engine, without ports, broker and
 * cell. It goes on with the day's values behind those that its journal holds, and says what it
 * publishes, one record a line, before it takes it out of the outbox.
 */
public final class JudgingLife {
  /** What is wrong with it on purpose, so that a test can show that it would see it. */
  public enum Mode {
    HONEST,
    /** Says its records when they are judged, not when they are synced. */
    PUBLISHES_EARLY,
    /** Begins with an empty state after a restart. */
    FORGETS
  }

  /** Who listens is slow, and a journal that runs ahead of it makes a long test. */
  private static final int MOST_BEHIND = 100;

  private static final int MOST_IN_A_LIFE = 200;

  private static final Duration UNREADABLE = Duration.ofMillis(20);

  /**
   * What a life is to do.
   *
   * @param mode what is wrong with it on purpose
   * @param seed of the day's values
   * @param data its data folder
   * @param most it stops when its journal has so many readings
   */
  public record Day(Mode mode, long seed, Path data, int most) {}

  private final Day day;
  private final Mode mode;
  private final Consumer<String> says;
  private final boolean breathes;
  private volatile boolean over;

  /**
   * Begins nothing yet.
   *
   * @param day what it is to do
   * @param says takes {@code started}, {@code record seq payload} and {@code stopped}, on its
   *     threads
   */
  public JudgingLife(Day day, Consumer<String> says) {
    this(day, says, false);
  }

  private JudgingLife(Day day, Consumer<String> says, boolean breathes) {
    this.day = day;
    this.mode = day.mode();
    this.says = says;
    this.breathes = breathes;
  }

  /**
   * The same, which now and then, by the day's seed, waits until all is on the disk: so it goes
   * there in many small pieces.
   */
  public static JudgingLife breathing(Day day, Consumer<String> says) {
    return new JudgingLife(day, says, true);
  }

  /** Runs to its end: when the journal has all readings and the outbox is empty. */
  public void run() throws Exception {
    try (JournalStore store = open(day.data())) {
      run(store);
    }
    says.accept("stopped");
  }

  private static JournalStore open(Path data) throws JournalException {
    return JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", Instant::now, System::nanoTime);
  }

  private void run(JournalStore store) throws Exception {
    Replay.Replayed replayed;
    Map<String, Long> lastSeqPerTopic;
    int next;
    try (JournalReader view = store.reader()) {
      replayed = Replay.fold(view, revision -> Shop.RULES);
      lastSeqPerTopic = view.lastSeqPerTopic();
      next = Journals.count(Journals.all(view), "reading-taken");
    }
    if (mode == Mode.FORGETS) {
      replayed =
          new Replay.Replayed(
              org.borewarden.rules.engine.State.initial(), replayed.lastSeq(), false, List.of());
    }
    Envelope envelope = new Envelope("cell-4", store.opened().id());
    Inbox inbox = new Inbox();
    List<Outlet> outlets =
        mode == Mode.PUBLISHES_EARLY
            ? List.of(new Early(envelope, new HashMap<>(lastSeqPerTopic)))
            : List.of();
    Loop loop =
        new Loop(
            new Loop.Parts(
                inbox,
                store,
                Instant::now,
                System::nanoTime,
                List.of(),
                Duration.ofMillis(250),
                outlets,
                lastSeqPerTopic),
            replayed);
    store.start(loop);
    inbox.put(Shop.started(1 + next, replayed.clean()));
    inbox.put(Shop.rulesLoaded());
    inbox.put(Shop.source(true));
    new Thread(loop, "loop").start();
    Outbox outbox = store.outbox();
    Thread publisher = new Thread(() -> publish(outbox, envelope), "publisher");
    publisher.setDaemon(true);
    publisher.start();
    says.accept("started");
    try {
      measure(store, inbox, next);
      if (!loop.awaitEnd(Waits.MOST)) {
        throw new IllegalStateException("the loop has not ended");
      }
      while (outbox.waiting() > 0) {
        outbox.awaitWork(5);
      }
    } finally {
      over = true;
      publisher.join();
    }
  }

  private void measure(JournalStore store, Inbox inbox, int next) throws InterruptedException {
    Random random = new Random(day.seed());
    for (int index = next; index < day.most(); index++) {
      long durable = store.stats().durableSeq();
      while (store.stats().outboxWaiting() > MOST_BEHIND || index >= next + MOST_IN_A_LIFE) {
        Waits.pass(1000);
      }
      inbox.put(Shop.reading(day.seed(), index));
      boolean pause = breathes && random.nextBoolean();
      while (pause && store.stats().durableSeq() == durable) {
        Waits.pass(200);
      }
    }
    inbox.put(new Event.AgentStopped());
  }

  private void publish(Outbox outbox, Envelope envelope) {
    long cursor = 0;
    while (!over) {
      try {
        for (Entry row : outbox.next(cursor, 50)) {
          cursor = row.seq();
          says.accept("record " + row.seq() + " " + envelope.around(row).orElseThrow());
          outbox.acknowledged(row.seq());
        }
        outbox.awaitWork(5);
      } catch (JournalException unreadable) {
        // As the agent's publisher does: a broken disk may be whole again.
        LockSupport.parkNanos(UNREADABLE.toNanos());
      } catch (InterruptedException e) {
        throw new IllegalStateException(e);
      }
    }
  }

  /** Says a verdict before it is written. */
  private final class Early implements Outlet {
    private final Envelope envelope;
    private final Map<String, Long> last;

    Early(Envelope envelope, Map<String, Long> lastSeqPerTopic) {
      this.envelope = envelope;
      this.last = lastSeqPerTopic;
    }

    @Override
    public void stepped(Turn turn) {
      for (int index = 0; index < turn.decisions().size(); index++) {
        Coded coded = DecisionCodec.encode(turn.decisions().get(index));
        long seq = turn.seqOf(index);
        if (coded.topic().isPresent()) {
          Entry entry =
              new Entry(
                  seq,
                  turn.event().seq(),
                  turn.event().at(),
                  coded.kind(),
                  coded.topic(),
                  previous(coded.topic().get(), seq),
                  turn.rules(),
                  coded.body());
          says.accept("record " + seq + " " + envelope.around(entry).orElseThrow());
        }
      }
    }

    private long previous(String topic, long seq) {
      Long before = last.put(topic, seq);
      return before == null ? 0 : before;
    }

    @Override
    public void synced(Turn turn) {}
  }
}
