package org.borewarden.agent.faults.calls;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.borewarden.agent.faults.Consumer;
import org.borewarden.agent.faults.JudgingLife;
import org.borewarden.agent.faults.JudgingLife.Day;
import org.borewarden.agent.faults.JudgingLife.Mode;
import org.borewarden.agent.faults.Outcome;
import org.borewarden.agent.peers.Folders;

/**
 * Lives in each of which the n-th call of a kind fails, once or with all later ones until it was
 * seen to fail again and again; for every n, until a life makes no more such calls.
 */
final class Failures {
  /** A fault that stays is taken away after so many failures. */
  private static final int STAYS_FOR = 3;

  /** How many calls a life makes hangs on what goes to the disk together. */
  private static final int MISSED = 3;

  private static final int MOST_CALLS = 5_000;
  private static final int READINGS = 10;
  private static final int LIFE_SECONDS = 400;

  /** The longest wait before the file is opened again is 2 s; a busy machine may take longer. */
  private static final int BACK_SECONDS = 40;

  private final Path scratch;
  private final Calls.Slot slot;
  private int folders;

  Failures(Path scratch, Calls.Slot slot) {
    this.scratch = scratch;
    this.slot = slot;
  }

  /**
   * What is to go wrong.
   *
   * @param begun the readings that the journal has before; none for a life that makes its own
   */
  record Sweep(Calls.Kind kind, Calls.Fault fault, boolean onward, int begun, long seed) {
    /** All that the goals ask for: what a call may answer, once and from then on. */
    static List<Sweep> all(long seed) {
      List<Sweep> sweeps = new ArrayList<>();
      for (Calls.Kind kind : Calls.Kind.values()) {
        for (Calls.Fault fault : Calls.Fault.values()) {
          for (boolean onward : new boolean[] {false, true}) {
            for (int begun : new int[] {0, 3}) {
              if (may(kind, fault, onward)) {
                sweeps.add(new Sweep(kind, fault, onward, begun, seed));
              }
            }
          }
        }
      }
      return sweeps;
    }

    private static boolean may(Calls.Kind kind, Calls.Fault fault, boolean onward) {
      return switch (fault) {
        case IO_ERROR, NO_SPACE -> true;
        // Nobody is interrupted for ever, and whoever was asks again at once.
        case INTERRUPTED -> !onward;
        case TOO_MANY_FILES -> kind == Calls.Kind.OPEN;
        case HALF -> kind == Calls.Kind.WRITE;
        case DROPPED -> false;
      };
    }
  }

  /** Every n; how many lives were struck. */
  int run(Sweep sweep) throws Exception {
    int struck = 0;
    int missed = 0;
    for (int n = 1; missed < MISSED; n++) {
      assertThat(n).as("%s come to an end", sweep).isLessThan(MOST_CALLS);
      boolean bit = one(sweep, n);
      struck += bit ? 1 : 0;
      missed = bit ? 0 : missed + 1;
    }
    return struck;
  }

  /** One life with a fault at its n-th call, and what came of it; whether there was such a call. */
  boolean one(Sweep sweep, int n) throws Exception {
    Path data = scratch.resolve("life-" + folders++);
    Consumer consumer = new Consumer();
    try {
      slot.about(data);
      if (sweep.begun() > 0) {
        live(new Day(Mode.HONEST, sweep.seed(), data, sweep.begun()), consumer);
      }
      Day day = new Day(Mode.HONEST, sweep.seed(), data, READINGS);
      slot.fail(sweep.kind(), sweep.fault(), n, sweep.onward());
      long begun = System.nanoTime();
      struckLife(day, consumer);
      long seconds = TimeUnit.NANOSECONDS.toSeconds(System.nanoTime() - begun);
      assertThat(seconds).as("how long until the disk was used again").isLessThan(BACK_SECONDS);
      boolean bit = slot.struck() > 0;
      slot.disarm();
      Day last = Outcome.lastOf(day, Outcome.readings(data));
      live(last, consumer);
      Outcome.require(last, consumer);
      Folders.delete(data);
      return bit;
    } catch (Exception | AssertionError wrong) {
      throw new AssertionError(sweep + ", call " + n + ", in " + data, wrong);
    }
  }

  private static void live(Day day, Consumer consumer) throws Exception {
    new JudgingLife(day, line -> Outcome.take(line, consumer)).run();
  }

  /** It may end before its time; it must end when the fault is gone. */
  private void struckLife(Day day, Consumer consumer) throws Exception {
    CompletableFuture<Void> life = new CompletableFuture<>();
    Thread thread =
        new Thread(
            () -> {
              try {
                live(day, consumer);
                life.complete(null);
              } catch (Exception ended) {
                life.completeExceptionally(ended);
              }
            },
            "struck-life");
    thread.start();
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(LIFE_SECONDS);
    while (System.nanoTime() < end) {
      try {
        life.get(5, TimeUnit.MILLISECONDS);
        return;
      } catch (TimeoutException stillOn) {
        if (slot.struck() >= STAYS_FOR) {
          slot.disarm();
        }
      } catch (ExecutionException endedBeforeItsTime) {
        assertThat(slot.struck()).as("%s", endedBeforeItsTime).isPositive();
        return;
      }
    }
    throw new AssertionError("no end within " + LIFE_SECONDS + " s");
  }
}
