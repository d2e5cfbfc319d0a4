package org.borewarden.agent.faults;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
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
 * The agent's inner half as a process to be killed: journal, replay, loop and engine, without
 * ports, broker and cell. It goes on with the day's values behind those that its journal holds, and
 * says what it publishes, one record a line, before it takes it out of the outbox.
 */
final class JudgingProcess {
  /** What is wrong with it on purpose, so that a test can show that it would see it. */
  enum Mode {
    HONEST,
    /** Says its records when they are judged, not when they are synced. */
    PUBLISHES_EARLY,
    /** Begins with an empty state after a restart. */
    FORGETS
  }

  /** Who listens is slow, and a journal that runs ahead of it makes a long test. */
  private static final int MOST_BEHIND = 100;

  private static final int MOST_IN_A_LIFE = 200;

  private final PrintStream out;
  private final Mode mode;
  private final long seed;

  private JudgingProcess(PrintStream out, Mode mode, long seed) {
    this.out = out;
    this.mode = mode;
    this.seed = seed;
  }

  public static void main(String[] arguments) throws Exception {
    PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
    new JudgingProcess(out, Mode.valueOf(arguments[0]), Long.parseLong(arguments[1]))
        .run(Path.of(arguments[2]), Integer.parseInt(arguments[3]));
  }

  private void run(Path data, int most) throws Exception {
    JournalStore store =
        JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", Instant::now, System::nanoTime);
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
    out.println("started");
    for (int index = next; index < most; index++) {
      while (store.stats().outboxWaiting() > MOST_BEHIND || index >= next + MOST_IN_A_LIFE) {
        Waits.pass(1000);
      }
      inbox.put(Shop.reading(seed, index));
    }
    inbox.put(new Event.AgentStopped());
    loop.awaitEnd(Duration.ofSeconds(30));
    while (outbox.waiting() > 0) {
      outbox.awaitWork(5);
    }
    store.close();
    out.println("stopped");
  }

  private void publish(Outbox outbox, Envelope envelope) {
    try {
      long cursor = 0;
      while (true) {
        for (Entry row : outbox.next(cursor, 50)) {
          cursor = row.seq();
          out.println("record " + row.seq() + " " + envelope.around(row).orElseThrow());
          outbox.acknowledged(row.seq());
        }
        outbox.awaitWork(5);
      }
    } catch (JournalException | InterruptedException e) {
      throw new IllegalStateException(e);
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
          out.println("record " + seq + " " + envelope.around(entry).orElseThrow());
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
