package org.borewarden.agent.proof;

import java.time.Duration;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import java.util.Set;
import java.util.stream.Collectors;
import org.borewarden.agent.loop.Replay;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.measure.Length;

/**
 * Lets the agent's loop run, die at random instants, and start again on what the journal then
 * holds: all that was synced, and at random some of what was not.
 */
final class CrashModel {
  private static final int CYCLES_PER_JOURNAL = 25;
  private static final int MOST_STEPS = 14;
  private static final int TRIES = 10;

  private final Random random;
  private final Fault fault;

  /** So many are enough where they are in every phase. */
  static final int LEAST_CRASHES = 200;

  private final Map<Phase, Integer> diedIn = new EnumMap<>(Phase.class);
  private MemoryJournal journal = new MemoryJournal();
  private RiggedLoop loop;
  private long synced;
  private int boot;
  private long parts;

  /** What is wrong with the agent under test; the tampered ones must be found out. */
  enum Fault {
    NONE,
    /** An unclean stop is taken for a clean one. */
    TAKES_IT_FOR_CLEAN,
    /** Records that were reported synced are lost. */
    LOSES_SYNCED
  }

  CrashModel(long seed, Fault fault) throws InterruptedException {
    this.random = new Random(seed);
    this.fault = fault;
    this.loop = start();
  }

  /**
   * What the records that a crash left say.
   *
   * @param hold the hold
   * @param asked whether a permit was asked for and not yet given
   */
  private record Left(HoldView hold, boolean asked) {
    /** A release whose record is synced counts. */
    boolean released() {
      return hold.phase() == Phase.RELEASING || (hold.phase() == Phase.BYPASSED && asked);
    }

    boolean mayHaveRun() {
      return hold.phase() == Phase.TRIAL || hold.phase() == Phase.BYPASSED || asked;
    }
  }

  /** How often it died in which state. */
  Map<Phase, Integer> diedIn() {
    return diedIn;
  }

  /** How many crashes there were. */
  int crashes() {
    return diedIn.values().stream().mapToInt(Integer::intValue).sum();
  }

  /**
   * Runs so many cycles or that long, and until enough crashed; what was wrong first, if anything.
   */
  Optional<String> run(int cycles, Duration most) throws Exception {
    long end = System.nanoTime() + most.toNanos();
    try {
      for (int cycle = 1; cycle <= cycles && (System.nanoTime() < end || !enough()); cycle++) {
        Optional<String> wrong = cycle(cycle);
        if (wrong.isPresent()) {
          return wrong.map(words -> "cycle " + words);
        }
      }
      return Optional.empty();
    } finally {
      loop.die();
    }
  }

  /** On a busy machine this takes longer than the time that is given. */
  private boolean enough() {
    return crashes() >= LEAST_CRASHES && diedIn.keySet().containsAll(List.of(Phase.values()));
  }

  private Optional<String> cycle(int cycle) throws Exception {
    if (cycle % CYCLES_PER_JOURNAL == 0) {
      loop.die();
      journal = new MemoryJournal();
      synced = 0;
      loop = start();
    }
    int steps =
        loop.hold().phase() == Phase.STARTING ? random.nextInt(2) : random.nextInt(MOST_STEPS);
    for (int step = 0; step < steps; step++) {
      loop.take(anything());
      if (random.nextInt(3) > 0) {
        syncSome();
      }
    }
    Optional<Left> expected = die();
    loop = new RiggedLoop(journal, Replay.fold(journal, revision -> Northworks4.RULES));
    loop.take(Northworks4.started(++boot, fault == Fault.TAKES_IT_FOR_CLEAN));
    Optional<String> wrong = heldAsExpected(expected, "at the start");
    if (random.nextInt(6) == 0) {
      // The next crash finds it still starting.
      return wrong.map(words -> cycle + ": " + words);
    }
    loop.take(Northworks4.rulesLoaded());
    loop.take(Northworks4.source(true));
    loop.take(Northworks4.link(true));
    syncAll();
    for (int step = random.nextInt(6); step > 0 && wrong.isEmpty(); step--) {
      loop.take(anythingButARelease());
      syncSome();
      wrong = heldAsExpected(expected, "after " + step + " more");
    }
    if (wrong.isEmpty() && random.nextInt(3) > 0) {
      wrong = released();
    }
    return wrong.map(words -> cycle + ": " + words);
  }

  private RiggedLoop start() throws InterruptedException {
    RiggedLoop fresh =
        new RiggedLoop(
            journal,
            new Replay.Replayed(org.borewarden.rules.engine.State.initial(), 0, true, List.of()));
    fresh.take(Northworks4.started(++boot, true));
    fresh.take(Northworks4.rulesLoaded());
    fresh.take(Northworks4.source(true));
    fresh.take(Northworks4.link(true));
    synced = journal.lastSeq();
    fresh.sync(synced);
    return fresh;
  }

  /** Dies; returns the hold as the records that are left describe it. */
  private Optional<Left> die() throws InterruptedException {
    loop.die();
    long last = journal.lastSeq();
    long left = synced + (last > synced ? random.nextLong(last - synced + 1) : 0);
    HoldView then = loop.hold();
    diedIn.merge(then.phase(), 1, Integer::sum);
    Optional<Left> expected = loop.holdAt(left).map(hold -> new Left(hold, loop.askedAt(left)));
    journal.cutAfter(fault == Fault.LOSES_SYNCED ? Math.max(1, synced - 20) : left);
    synced = journal.lastSeq();
    return expected;
  }

  /** The oracle: no permit, the unclean stop, and every cause of the records that are left. */
  private Optional<String> heldAsExpected(Optional<Left> left, String when) {
    HoldView now = loop.hold();
    Set<String> causes = now.causes().stream().map(Cause::key).collect(Collectors.toSet());
    if (now.permitted() || loop.permitShown()) {
      return Optional.of("a permit " + when + ", was " + left);
    }
    if (!causes.contains(Reason.UNCLEAN_STOP.key())) {
      return Optional.of("no unclean-stop " + when + ", but " + causes);
    }
    if (left.isEmpty() || left.get().released()) {
      return Optional.empty();
    }
    HoldView before = left.get().hold();
    for (Cause cause : before.causes()) {
      if (!causes.contains(cause.key())) {
        return Optional.of(cause.key() + " is gone " + when + ", was " + left);
      }
    }
    // Where the cell may have run since, an older word of it must not fit: a new number.
    boolean numbered =
        left.get().mayHaveRun() ? now.number() > before.number() : now.number() == before.number();
    return before.number() == 0 || numbered
        ? Optional.empty()
        : Optional.of("hold " + now.number() + " " + when + ", was " + left);
  }

  /** The way back: a person's release, and its record synced. */
  private Optional<String> released() throws InterruptedException {
    for (int tries = 0; tries < TRIES && !loop.hold().permitted(); tries++) {
      loop.take(Northworks4.source(true));
      loop.take(Northworks4.link(true));
      syncAll();
      // On a loaded machine the loop may find itself late, and so a release be refused.
      loop.take(Northworks4.release(loop.hold(), OptionalInt.empty()));
      if (loop.hold().permitted() || loop.permitShown()) {
        return Optional.of("a permit before the release was synced");
      }
      syncAll();
    }
    return loop.hold().permitted()
        ? Optional.empty()
        : Optional.of("no permit after a release, but " + loop.hold());
  }

  private void syncSome() throws InterruptedException {
    long last = journal.lastSeq();
    if (last > synced) {
      synced += 1 + random.nextLong(last - synced);
      loop.sync(synced);
    }
  }

  /** Twice, because what the first sync grants has records of its own. */
  private void syncAll() throws InterruptedException {
    for (int i = 0; i < 2; i++) {
      synced = journal.lastSeq();
      loop.sync(synced);
    }
  }

  private Event anything() {
    HoldView hold = loop.hold();
    return switch (random.nextInt(8)) {
      case 0 -> Northworks4.release(hold, OptionalInt.empty());
      case 1 -> Northworks4.release(hold, OptionalInt.of(1 + random.nextInt(4)));
      case 2 -> Northworks4.bypass(hold);
      case 3 -> Northworks4.bore(40);
      case 4 -> Northworks4.reported(hold.number(), random.nextBoolean(), ++parts);
      default -> anythingButARelease();
    };
  }

  private Event anythingButARelease() {
    HoldView hold = loop.hold();
    return switch (random.nextInt(14)) {
      case 0 -> Northworks4.bore(40);
      case 1 -> Northworks4.bore(-10);
      case 2, 3 -> Northworks4.bore(5 + random.nextInt(20));
      case 4 -> Northworks4.reported(hold.number(), random.nextBoolean(), ++parts);
      case 5 -> Northworks4.reported(0, false, ++parts);
      case 6 -> Northworks4.link(random.nextBoolean());
      case 7 -> Northworks4.source(random.nextBoolean());
      case 8 -> Northworks4.order(Role.SETTER, toolChanged());
      case 9 -> Northworks4.order(Role.SETTER, offset());
      case 10 -> Northworks4.order(Role.SUPERVISOR, new Order.EndBypass(Northworks4.CELL));
      case 11 -> new Event.TimerFired("bypass:" + Northworks4.CELL);
      case 12 -> Northworks4.order(Role.SETTER, discard());
      default -> Northworks4.order(Role.IT, new Order.AskHold(Northworks4.CELL, "drain"));
    };
  }

  private static Order toolChanged() {
    return new Order.ToolChanged(Northworks4.CELL, Optional.of("7"));
  }

  private static Order offset() {
    return new Order.OffsetEntered(Northworks4.CELL, Optional.of("7"), new Length(4_000_000));
  }

  private static Order discard() {
    return new Order.Discard("bearing-seat", Optional.empty(), "slip");
  }
}
