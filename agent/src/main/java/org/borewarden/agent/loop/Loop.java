package org.borewarden.agent.loop;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayDeque;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.journal.Journal;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalNote;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The loop: takes one event at a time, steps the engine, raises holds in the step that found them,
 * hands the records to the journal, and lets out what waits for them once they are synced.
 *
 * <p>All state of the rules is touched on this thread only.
 */
public final class Loop implements Runnable, JournalListener {
  private static final Logger LOG = LoggerFactory.getLogger(Loop.class);
  private static final long OVERDUE = TimeUnit.MILLISECONDS.toNanos(1000);

  /** The entries after which a snapshot is due: a start replays about so many at most. */
  static final int SNAPSHOT_EVERY = 5_000;

  private final Inbox inbox;
  private final Journal journal;
  private final WallClock wall;
  private final MonotonicClock monotonic;
  private final Beats beats;
  private final long beatEvery;
  private final List<Outlet> outlets;
  private final Recorder recorder;
  private final Timers timers = new Timers();
  private final PastTimers pastTimers;
  private final ArrayDeque<Turn> unsynced = new ArrayDeque<>();
  private final ArrayDeque<Event.GrantSynced> grants = new ArrayDeque<>();

  private final JournalWatch journalWatch;
  private final ClockWatch clockWatch;
  private final CountDownLatch begun = new CountDownLatch(1);
  private final CountDownLatch ended = new CountDownLatch(1);

  private State state;
  private long seq;
  private long snapshotSeq;
  // A copy of the latest state for other threads; states are values.
  private volatile Shown shown;
  private boolean brokerAway = true;
  private boolean overdue;
  private boolean faulted;
  private long lastBeat;
  private boolean stopping;
  private volatile long lastTurn;

  /**
   * A loop that goes on from a replayed journal.
   *
   * @param parts what it works with
   * @param from where the journal stands
   */
  public Loop(Parts parts, Replay.Replayed from) {
    this.inbox = parts.inbox();
    this.journal = parts.journal();
    this.wall = parts.wall();
    this.monotonic = parts.monotonic();
    this.beats = new Beats(parts.outputs());
    this.beatEvery = parts.beatEvery().toNanos();
    this.outlets = List.copyOf(parts.outlets());
    this.recorder = new Recorder(parts.lastSeqPerTopic());
    this.state = from.state();
    this.shown = new Shown(from.state(), from.lastSeq());
    this.seq = from.lastSeq();
    this.snapshotSeq = from.snapshotSeq();
    this.pastTimers = new PastTimers(from.timers());
    this.journalWatch = new JournalWatch(from.lastSeq());
    this.clockWatch = new ClockWatch(wall, monotonic);
    long now = monotonic.nanos();
    Instant at = wall.now();
    from.timers().forEach(past -> timers.restore(past.timer(), past.at(), at, now));
    this.lastBeat = now;
    this.lastTurn = now;
  }

  /**
   * What a loop works with.
   *
   * @param inbox where events come from
   * @param journal where records go
   * @param wall for stamps
   * @param monotonic for durations
   * @param outputs the hold outputs
   * @param beatEvery the beat period
   * @param outlets who is told of each turn
   * @param lastSeqPerTopic the last seq of each record topic
   */
  public record Parts(
      Inbox inbox,
      Journal journal,
      WallClock wall,
      MonotonicClock monotonic,
      List<HoldOutput> outputs,
      Duration beatEvery,
      List<Outlet> outlets,
      java.util.Map<String, Long> lastSeqPerTopic) {
    /** Copies the collections. */
    public Parts {
      outputs = List.copyOf(outputs);
      outlets = List.copyOf(outlets);
      lastSeqPerTopic = java.util.Map.copyOf(lastSeqPerTopic);
    }
  }

  /**
   * A state, and the seq that it stands at.
   *
   * @param state a value that nobody changes
   * @param seq the last seq that led to it
   */
  public record Shown(State state, long seq) {}

  @Override
  public void run() {
    lastBeat = monotonic.nanos();
    try {
      while (!(stopping && unsynced.isEmpty())) {
        turn();
      }
    } catch (InterruptedException e) {
      LOG.warn("loop interrupted, records up to seq {} are synced", journalWatch.durable());
    } finally {
      ended.countDown();
    }
  }

  /**
   * Waits until the first turn's records are synced. A reading that was taken before the start is
   * in the journal could be lost by a power cut that then looks like a clean stop.
   *
   * @param most the longest wait
   * @return false when the journal took nothing in that time
   * @throws InterruptedException when the caller is asked to stop
   */
  public boolean awaitBegun(Duration most) throws InterruptedException {
    return begun.await(most.toNanos(), TimeUnit.NANOSECONDS);
  }

  /**
   * Waits until the loop has taken {@link Event.AgentStopped} and its records are synced.
   *
   * @param most the longest wait
   * @return false when it did not end in time
   * @throws InterruptedException when the caller is asked to stop
   */
  public boolean awaitEnd(Duration most) throws InterruptedException {
    return ended.await(most.toNanos(), TimeUnit.NANOSECONDS);
  }

  /**
   * How long ago the loop last turned.
   *
   * @return nanoseconds, for health
   */
  public long nanosSinceLastTurn() {
    return monotonic.nanos() - lastTurn;
  }

  /**
   * The ports that are lost, as the loop last saw it.
   *
   * @return one sentence each
   */
  public List<String> lostPorts() {
    return shown.state().lostPorts();
  }

  /**
   * The state as it stands, for other threads.
   *
   * @return the state after the last turn
   */
  public Shown shown() {
    return shown;
  }

  /**
   * Whether all that led to a state is synced.
   *
   * @param seen a state of this loop
   * @return false while a record of it is still being written
   */
  public boolean recorded(Shown seen) {
    return journalWatch.durable() >= seen.seq();
  }

  @Override
  public void durable(long upTo) {
    journalWatch.durable(upTo);
    inbox.signal();
  }

  @Override
  public void failed(String why) {
    journalWatch.fault(Optional.of(why));
    inbox.signal();
  }

  @Override
  public void recovered() {
    journalWatch.fault(Optional.empty());
    inbox.signal();
  }

  @Override
  public void outboxFull(Optional<String> why) {
    journalWatch.outboxFull(why);
    inbox.signal();
  }

  @Override
  public void noted(JournalNote note) {
    // With a full inbox the note is in the log only.
    inbox.offer(
        new Event.JournalNoted(
            note.what(), note.first(), note.last(), note.count(), note.detail()));
  }

  /** One turn. Called by {@link #run} and by tests only. */
  void turn() throws InterruptedException {
    long now = monotonic.nanos();
    long wait = Math.max(0, Math.min(timers.untilNext(now, beatEvery), lastBeat + beatEvery - now));
    Optional<Event> event = inbox.poll(journal.hasRoom() && !stopping, wait);
    lastTurn = monotonic.nanos();
    takeIfAny(() -> journalWatch.changed(journal.hasRoom()));
    takeIfAny(journalWatch::outboxChanged);
    takeIfAny(clockWatch::step);
    event.ifPresent(this::take);
    fireTimers();
    letOut();
    beatIfDue();
    long took = monotonic.nanos() - lastTurn;
    for (Outlet outlet : outlets) {
      outlet.turned(took);
    }
  }

  /**
   * Whether an event of our own may be taken. While the journal has not even its reserve none is:
   * what is due stays due. After a stop none is either, so that the stop is the run's last word.
   */
  private boolean mayTake() {
    return journal.hasReserve() && !stopping;
  }

  private void takeIfAny(Supplier<Optional<Event>> news) {
    if (mayTake()) {
      news.get().ifPresent(this::take);
    }
  }

  private void fireTimers() {
    for (String timer : timers.expired(wall.now(), monotonic.nanos())) {
      if (mayTake()) {
        timers.fired(timer);
        take(new Event.TimerFired(timer));
      }
    }
  }

  private void take(Event event) {
    stopping |= event instanceof Event.AgentStopped;
    if (event instanceof Event.BrokerChanged changed && changed.link().equals("control")) {
      brokerAway = !changed.connected();
    }
    Stamped stamped = new Stamped(seq + 1, wall.now().truncatedTo(ChronoUnit.MILLIS), event);
    Turn turn = new Turn(stamped, step(stamped), "");
    turn = new Turn(stamped, turn.step(), turn.state().rulesRevision());
    state = turn.state();
    seq = turn.lastSeq();
    shown = new Shown(state, seq);
    showHolds(turn);
    for (Outlet outlet : outlets) {
      outlet.stepped(turn);
    }
    long now = monotonic.nanos();
    turn.step().effects().forEach(effect -> timers.take(effect, stamped.at(), now));
    pastTimers.take(stamped, turn.step());
    journal.append(recorder.entries(turn));
    unsynced.add(turn);
    snapshotIfDue(event);
  }

  /** States are values: the scribe writes this one as text when it comes to it. */
  private void snapshotIfDue(Event event) {
    boolean stopped = event instanceof Event.AgentStopped;
    if (stopped || seq - snapshotSeq >= SNAPSHOT_EVERY) {
      snapshotSeq = seq;
      Standing standing = new Standing(state, pastTimers.list(), stopped && !faulted, faulted);
      journal.putSnapshot(seq, neededSeq(), Standing.LAYOUT, standing::text);
    }
  }

  /** The first entry that a latched hold names; 0 for none. */
  private long neededSeq() {
    return state.cellIds().stream()
        .flatMap(cell -> state.cellView(cell, wall.now()).stream())
        .flatMap(view -> view.hold().causes().stream())
        .mapToLong(cause -> Math.max(1, cause.seq()))
        .min()
        .orElse(0);
  }

  private Step step(Stamped stamped) {
    return Boundary.step(state, stamped, fault -> faulted(stamped, fault));
  }

  private void faulted(Stamped stamped, RuntimeException fault) {
    LOG.error(
        "fault of our own at seq {} ({}): no permit until a restart",
        stamped.seq(),
        stamped.event(),
        fault);
    faulted = true;
  }

  /** A raise goes out in its own step, before anything is written (docs/hold.md). */
  private void showHolds(Turn turn) {
    for (Decision decision : turn.decisions()) {
      if (decision instanceof Decision.HoldChanged changed && !faulted) {
        beats.cell(changed.hold().cell(), state, turn.event().at(), trust());
      }
    }
  }

  /** What waited for its records may go: grants become events, the rest is told to the outlets. */
  private void letOut() {
    long upTo = journalWatch.durable();
    while (!unsynced.isEmpty() && unsynced.peek().lastSeq() <= upTo) {
      Turn turn = unsynced.remove();
      begun.countDown();
      for (Outlet outlet : outlets) {
        outlet.synced(turn);
      }
      for (Decision decision : turn.decisions()) {
        if (decision instanceof Decision.HoldChanged changed
            && changed.grantPending().isPresent()) {
          grants.add(new Event.GrantSynced(changed.hold().cell(), changed.grantPending().get()));
        }
      }
    }
    while (!grants.isEmpty() && mayTake()) {
      take(grants.remove());
    }
  }

  private void beatIfDue() {
    long now = monotonic.nanos();
    long gap = now - lastBeat;
    if (gap < beatEvery) {
      return;
    }
    if (gap > OVERDUE != overdue && mayTake()) {
      overdue = gap > OVERDUE;
      take(new Event.BeatChanged(overdue, TimeUnit.NANOSECONDS.toMillis(gap)));
    }
    lastBeat = now;
    // After a fault of our own, or where the loss of the journal itself could not be recorded, the
    // outputs get no beat: silence reads as no permit.
    boolean speechless = journalWatch.saidToBeWell() && !journal.hasReserve();
    if (!faulted && !speechless) {
      beats.all(state, wall.now(), trust());
    }
  }

  private Beats.Trust trust() {
    return new Beats.Trust(brokerAway, clockWatch.unsure());
  }
}
