package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Stops the agent's process, its broker's, or both, for 0.1 s to 30 s (SIGSTOP, as a busy or a
 * suspended host would), while readings come. The cell has lost its permit before a stopped agent
 * goes on; a stopped broker takes none; and the story is that of an undisturbed run.
 */
class PausedIT {
  private static final int PAUSES = Cases.count(3, 500);
  private static final int READINGS = 60;
  private static final int MOST_TENTHS = Cases.LONG ? 300 : 5;
  private static final int PERMIT_WORD = 2;
  private static final int PERMITTED = 1;

  /** A pause of the agent from here on must have been seen by the cell, whose time-out is 1 s. */
  private static final int SEEN_FROM_TENTHS = 20;

  @TempDir Path scratch;

  private Random random = new Random();
  private int pauses;
  private int seen;
  private int stillWritten;
  private long slowestNanos;
  private int brokerPauses;
  private int repeats;

  @Test
  void whoeverIsStoppedTheCellSeesAStoppedAgentAndTheStoryIsThatOfAnUndisturbedRun()
      throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("paused: seed " + seed);
    random = new Random(seed);
    for (int journal = 0; pauses < PAUSES; journal++) {
      oneJournal("paused-" + journal);
      System.err.printf(
          "paused: %d pauses (%d of the broker), %d of the agent seen by the cell (with the old permit"
              + " still in the register in %d), the latest %d ms after the signal; %d repeats%n",
          pauses,
          brokerPauses,
          seen,
          stillWritten,
          TimeUnit.NANOSECONDS.toMillis(slowestNanos),
          repeats);
    }
    assertThat(seen).isPositive();
    // Not each time: on a busy machine the agent may have withdrawn it just before.
    assertThat(stillWritten)
        .as("the control: permits that one would still see who reads the register without its beat")
        .isPositive();
    assertThat(brokerPauses).isPositive();
  }

  private void oneJournal(String name) throws Exception {
    long day = Plant.dayWithoutHold(random.nextLong(), READINGS);
    try (Plant plant = new Plant(scratch.resolve(name), name, day, READINGS)) {
      plant.start();
      int pause = 0;
      while (plant.sent() < READINGS && pauses < PAUSES) {
        plant.send(1 + random.nextInt(4));
        // The first of each kind for sure, then what chance says.
        int who = pause < 2 ? pause : random.nextInt(3);
        int tenths = pause == 0 ? SEEN_FROM_TENTHS : 1 + random.nextInt(MOST_TENTHS);
        pause(plant, who != 1, who != 0, tenths);
        pause++;
      }
      repeats += plant.requireTheStory();
    }
  }

  private void pause(Plant plant, boolean agentToo, boolean brokerToo, int tenths)
      throws Exception {
    pauses++;
    brokerPauses += brokerToo ? 1 : 0;
    if (brokerToo) {
      plant.broker().freeze();
    }
    long begun = System.nanoTime();
    if (agentToo) {
      plant.signal("STOP");
    }
    plant.send(random.nextInt(3));
    if (agentToo && tenths >= SEEN_FROM_TENTHS) {
      Waits.until("the cell without permit", () -> !plant.cell().state().permit());
      slowestNanos = Math.max(slowestNanos, System.nanoTime() - begun);
      seen++;
      if ((plant.cell().blockA()[PERMIT_WORD] & PERMITTED) == PERMITTED) {
        stillWritten++;
      }
    }
    long left = begun + TimeUnit.MILLISECONDS.toNanos(100L * tenths) - System.nanoTime();
    Waits.pass(TimeUnit.NANOSECONDS.toMicros(left));
    if (agentToo && tenths >= SEEN_FROM_TENTHS) {
      assertThat(plant.cell().state().permit()).as("a permit from a stopped agent").isFalse();
    } else if (!agentToo) {
      assertThat(plant.cell().state().permit()).as("the permit while the broker stands").isTrue();
    }
    if (agentToo) {
      plant.signal("CONT");
    }
    if (brokerToo) {
      plant.broker().thaw();
    }
    plant.awaitPermit();
  }
}
