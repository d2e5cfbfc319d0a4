package org.borewarden.agent.loop;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.State;

/**
 * A loop whose turns, clocks, journal and syncs are in the test's hand; nothing waits, nothing
 * sleeps. One output, for cell-4.
 */
final class LoopBench {
  static final Duration BEAT = Duration.ofMillis(250);

  final FakeJournal journal;
  final Inbox inbox = new Inbox();
  final AtomicLong nanos = new AtomicLong(5_000_000_000L);
  final AtomicLong wallMillis;
  final List<Shown> shown = Collections.synchronizedList(new ArrayList<>());
  final List<Turn> stepped = new ArrayList<>();
  final List<Turn> synced = new ArrayList<>();
  final Loop loop;

  /** A beat as the output was given it. */
  record Shown(int beat, PermitImage image) {
    boolean permit() {
      return image.hold().permitted();
    }
  }

  LoopBench() {
    this(new FakeJournal(), Instant.parse("2026-05-05T08:00:00Z"), List.of());
  }

  /** A loop that goes on where a journal ends, at a wall time. */
  LoopBench(FakeJournal journal, Instant at, List<Outlet> more) {
    this.journal = journal;
    this.wallMillis = new AtomicLong(at.toEpochMilli());
    List<Outlet> outlets = new ArrayList<>(more);
    outlets.add(new Seen());
    this.loop =
        new Loop(
            new Loop.Parts(
                inbox,
                journal,
                () -> Instant.ofEpochMilli(wallMillis.get()),
                nanos::get,
                List.of(new Output()),
                BEAT,
                outlets,
                Map.of()),
            replayed(journal));
  }

  static Replay.Replayed replayed(FakeJournal journal) {
    try {
      return Replay.fold(journal, Shift::kept);
    } catch (org.borewarden.agent.journal.JournalException e) {
      throw new AssertionError(e);
    }
  }

  /** One turn that does not wait. */
  void turn() throws InterruptedException {
    inbox.signal();
    loop.turn();
  }

  /** Puts an event and takes it. */
  void take(Event event) throws InterruptedException {
    inbox.put(event);
    turn();
  }

  void pass(Duration time) {
    nanos.addAndGet(time.toNanos());
    wallMillis.addAndGet(time.toMillis());
  }

  /** Syncs what was appended, and lets out what waited for it. */
  void sync() throws InterruptedException {
    loop.durable(journal.lastSeq());
    turn();
  }

  /** A start with all its evidence, to the permit. */
  void startToPermit() throws InterruptedException {
    take(Shift.started(7, true));
    take(new Event.RulesLoaded(Shift.RULES));
    take(Shift.port("port-a", true));
    take(new Event.LinkChanged("cell-4", true, ""));
    sync();
    sync();
  }

  Shown last() {
    return shown.get(shown.size() - 1);
  }

  State state() {
    return stepped.get(stepped.size() - 1).state();
  }

  private final class Output implements HoldOutput {
    @Override
    public String cell() {
      return "cell-4";
    }

    @Override
    public void start() {}

    @Override
    public void beat(int beat, PermitImage image) {
      shown.add(new Shown(beat, image));
    }

    @Override
    public void close() {}
  }

  private final class Seen implements Outlet {
    @Override
    public void stepped(Turn turn) {
      stepped.add(turn);
    }

    @Override
    public void synced(Turn turn) {
      synced.add(turn);
    }
  }
}
