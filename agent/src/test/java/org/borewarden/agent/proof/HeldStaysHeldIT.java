package org.borewarden.agent.proof;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.rules.hold.Phase;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A held cell stays held, whenever and wherever the agent dies. */
class HeldStaysHeldIT {
  private static final int MODEL_CYCLES = Cases.LONG ? 20_000 : 4_000;
  private static final Duration MODEL_TIME = Duration.ofSeconds(Cases.LONG ? 600 : 8);
  private static final int CELLS = 20;
  private static final int HELD_CELLS = Cases.count(200, 5_000);
  private static final int CONTROL_CYCLES = 400;

  @TempDir private Path folder;

  @Test
  void whereverTheLoopDiesTheSyncedCausesStandAndNothingButAReleaseGivesThePermitBack()
      throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("held stays held, model: seed " + seed);
    CrashModel model = new CrashModel(seed, CrashModel.Fault.NONE);
    Optional<String> wrong = model.run(MODEL_CYCLES, MODEL_TIME);
    System.err.println("held stays held, model: " + model.crashes() + " crashes " + model.diedIn());
    assertThat(wrong).as("seed %d", seed).isEmpty();
    assertThat(model.crashes()).isGreaterThanOrEqualTo(CrashModel.LEAST_CRASHES);
    assertThat(model.diedIn().keySet()).containsExactlyInAnyOrder(Phase.values());
  }

  /**
   * One process has many cells, each in a state of its own, so that one {@code kill -9} is that
   * many cases. What is counted is cells: held before a kill, and found held after it.
   */
  @Test
  void whenAgentAndBrokerAreKilledEachHeldCellIsHeldUntilItsReleaseAndNoSyncedCauseIsLost()
      throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    Tally tally = new Tally();
    try (TestBroker broker = TestBroker.start();
        KilledAgent agent = new KilledAgent(folder, broker, CELLS)) {
      agent.start();
      agent.awaitEach("a permit", cell -> cell.permits() > 0);
      HeldCells held = new HeldCells(agent, new Random(seed), tally);
      while (tally.heldThroughKill() < HELD_CELLS) {
        held.round();
      }
    } finally {
      System.err.println("held stays held, process: seed " + seed + ", " + tally);
    }
    assertThat(tally.heldThroughKill()).isGreaterThanOrEqualTo(HELD_CELLS);
    assertThat(tally.heldThroughBrokerKill()).isGreaterThanOrEqualTo(CELLS);
    assertThat(tally.states())
        .contains("starting", "requested", "heard", "trial", "bypassed", "requested+condition");
  }

  @Test
  void anAgentThatTakesACrashForACleanStopIsFoundOut() throws Exception {
    assertThat(
            new CrashModel(1, CrashModel.Fault.TAKES_IT_FOR_CLEAN).run(CONTROL_CYCLES, MODEL_TIME))
        .isPresent();
  }

  @Test
  void aJournalThatLosesSyncedRecordsIsFoundOut() throws Exception {
    assertThat(new CrashModel(2, CrashModel.Fault.LOSES_SYNCED).run(CONTROL_CYCLES, MODEL_TIME))
        .hasValueSatisfying(words -> assertThat(words).contains("is gone"));
  }
}
