package org.borewarden.agent.proof;

import java.time.Duration;
import java.time.Instant;
import java.util.Collections;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.agent.loop.Inbox;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Replay;
import org.borewarden.agent.loop.Turn;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.hold.HoldView;

/**
 * The agent's own loop on a journal in memory. The test says what happens, up to where the journal
 * is synced, and when the process dies.
 */
final class RiggedLoop {
  private static final Duration DEADLINE = Duration.ofSeconds(30);

  private final Inbox inbox = new Inbox();
  private final Set<Event> stepped = Collections.newSetFromMap(new IdentityHashMap<>());
  private final TreeMap<Long, State> states = new TreeMap<>();
  private final Loop loop;
  private final Thread thread;
  private final TreeMap<Long, Integer> asked = new TreeMap<>();
  private boolean permitShown;

  RiggedLoop(MemoryJournal journal, Replay.Replayed from) {
    Loop.Parts parts =
        new Loop.Parts(
            inbox,
            journal,
            Instant::now,
            System::nanoTime,
            List.of(new Shown()),
            Duration.ofMillis(250),
            List.of(new Seen()),
            journal.lastSeqPerTopic());
    this.loop = new Loop(parts, from);
    this.thread = new Thread(loop, "rigged-loop");
    thread.start();
  }

  /** Lets something happen; returns when the loop is ready for the next. */
  void take(Event event) throws InterruptedException {
    one(event);
    // Taken in a later turn, so all that the first one did is done.
    one(new Event.ClockStepped(0));
  }

  /** The journal is synced up to a seq; what waited for it is done when this returns. */
  void sync(long seq) throws InterruptedException {
    loop.durable(seq);
    take(new Event.ClockStepped(0));
  }

  private void one(Event event) throws InterruptedException {
    inbox.put(event);
    long end = System.nanoTime() + DEADLINE.toNanos();
    synchronized (this) {
      while (!stepped.contains(event)) {
        if (System.nanoTime() > end) {
          throw new AssertionError("the loop did not take " + event);
        }
        wait(100);
      }
    }
  }

  /** The process is gone at once. */
  void die() throws InterruptedException {
    thread.interrupt();
    thread.join();
  }

  /** The hold after the last event. */
  synchronized HoldView hold() {
    return view(states.lastEntry().getValue());
  }

  /** The hold as the last event up to a seq left it; empty before any. */
  synchronized Optional<HoldView> holdAt(long seq) {
    return Optional.ofNullable(states.floorEntry(seq)).map(e -> view(e.getValue()));
  }

  /** Whether the hold as it then stood had a permit asked for that was not yet given. */
  synchronized boolean askedAt(long seq) {
    Optional<Integer> revision =
        Optional.ofNullable(asked.floorEntry(seq)).map(Map.Entry::getValue);
    return revision.equals(holdAt(seq).map(HoldView::revision));
  }

  /** Whether any output ever showed a permit. */
  synchronized boolean permitShown() {
    return permitShown;
  }

  synchronized State state() {
    return states.lastEntry().getValue();
  }

  private static HoldView view(State state) {
    return state.cellView(Northworks4.CELL, Instant.now()).orElseThrow().hold();
  }

  private final class Shown implements HoldOutput {
    @Override
    public String cell() {
      return Northworks4.CELL;
    }

    @Override
    public void start() {}

    @Override
    public void beat(int beat, PermitImage image) {
      synchronized (RiggedLoop.this) {
        permitShown |= image.hold().permitted();
      }
    }

    @Override
    public void close() {}
  }

  private final class Seen implements Outlet {
    @Override
    public void stepped(Turn turn) {
      synchronized (RiggedLoop.this) {
        states.put(turn.event().seq(), turn.state());
        for (Decision decision : turn.decisions()) {
          if (decision instanceof Decision.HoldChanged changed) {
            changed.grantPending().ifPresent(at -> asked.put(turn.event().seq(), at));
          }
        }
        stepped.add(turn.event().event());
        RiggedLoop.this.notifyAll();
      }
    }

    @Override
    public void synced(Turn turn) {}
  }
}
