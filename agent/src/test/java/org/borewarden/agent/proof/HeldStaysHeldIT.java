package org.borewarden.agent.proof;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.rules.hold.Phase;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A held cell stays held, whenever and wherever the agent dies. */
class HeldStaysHeldIT {
  private static final boolean LONG = Boolean.getBoolean("borewarden.long");
  private static final int MODEL_CYCLES = LONG ? 100_000 : 4_000;
  private static final int LEAST_CRASHES = 200;
  private static final Duration MODEL_TIME = LONG ? Duration.ofHours(2) : Duration.ofSeconds(20);
  private static final int PROCESS_CYCLES = LONG ? 5_000 : 25;
  private static final int LEAST_KILLS = 5;
  private static final Duration PROCESS_TIME = LONG ? Duration.ofHours(4) : Duration.ofSeconds(35);
  private static final int CONTROL_CYCLES = 400;

  @TempDir private Path folder;

  @Test
  void whereverTheLoopDiesTheSyncedCausesStandAndNothingButAReleaseGivesThePermitBack()
      throws Exception {
    long seed = System.nanoTime();
    System.err.println("held stays held, model: seed " + seed);
    CrashModel model = new CrashModel(seed, CrashModel.Fault.NONE);
    Optional<String> wrong = model.run(MODEL_CYCLES, MODEL_TIME);
    System.err.println("held stays held, model: " + model.crashes() + " crashes " + model.diedIn());
    assertThat(wrong).as("seed %d", seed).isEmpty();
    assertThat(model.crashes()).isGreaterThanOrEqualTo(LEAST_CRASHES);
    assertThat(model.diedIn().keySet()).containsExactlyInAnyOrder(Phase.values());
  }

  @Test
  void whenTheProcessIsKilledTheCellIsHeldUntilAReleaseAndNoSyncedCauseIsLost() throws Exception {
    long seed = System.nanoTime();
    Random random = new Random(seed);
    Map<String, Integer> kills = new TreeMap<>();
    try (TestBroker broker = TestBroker.start();
        KilledAgent agent = new KilledAgent(folder, broker.port())) {
      agent.start();
      agent.awaitPermit();
      long end = System.nanoTime() + PROCESS_TIME.toNanos();
      for (int cycle = 0; cycle < PROCESS_CYCLES && System.nanoTime() < end; cycle++) {
        Deed deed = Deed.values()[random.nextInt(Deed.values().length)];
        deed(agent, deed);
        long at = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(random.nextInt(120));
        KilledAgent.await("the instant", () -> System.nanoTime() >= at);
        long seqBefore = agent.seq();
        Set<String> synced = agent.kill();
        kills.merge(deed.name(), 1, Integer::sum);
        agent.start();
        agent.awaitHeldAfterStart(seqBefore);
        assertThat(agent.permits()).as("permits before a release, seed %d", seed).isZero();
        if (deed != Deed.RELEASE) {
          assertThat(agent.causes()).as("after %s, seed %d", deed, seed).containsAll(synced);
        }
        agent.releaseUntilPermitted();
      }
    } finally {
      System.err.println("held stays held, process: seed " + seed + ", kills " + kills);
    }
    assertThat(kills.values().stream().mapToInt(n -> n).sum()).isGreaterThan(LEAST_KILLS);
  }

  /** What is under way when the process is killed. */
  private enum Deed {
    NOTHING,
    HOLD,
    RELEASE,
    TRIAL,
    BYPASS,
    GAUGE_LOST
  }

  private static void deed(KilledAgent agent, Deed deed) throws Exception {
    switch (deed) {
      case NOTHING -> agent.bore("62.011");
      case GAUGE_LOST -> agent.loseGauge();
      case HOLD -> agent.bore("62.044");
      case RELEASE -> afterAHold(agent, "release", Optional.empty());
      case TRIAL -> afterAHold(agent, "release", Optional.of(3));
      case BYPASS -> afterAHold(agent, "bypass", Optional.of(5));
    }
  }

  private static void afterAHold(KilledAgent agent, String command, Optional<Integer> number)
      throws Exception {
    agent.bore("62.044");
    KilledAgent.await("a synced hold", () -> !agent.causes().isEmpty());
    agent.ask(command, number);
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
