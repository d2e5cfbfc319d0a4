package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.faults.JudgingLife.Day;
import org.borewarden.agent.faults.JudgingLife.Mode;
import org.borewarden.agent.faults.JudgingRun.Heard;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Kills the judging half of the agent again and again, at random instants of its start and of its
 * work, and compares what its journal and its consumer have with an uninterrupted run. Several
 * lives go on in one process, each with a journal, a day and a consumer of its own, so that one
 * {@code kill -9} strikes each at another place of its work. What is counted is lives killed.
 */
class KilledJudgingIT {
  /** From here on it would be no chance if no kill hit between publish and note. */
  private static final int MANY_KILLS = 50;

  private static final int KILLED_LIVES = Cases.count(4, 5_000);
  private static final int LIVES_OF_A_PROCESS = Cases.LONG ? 25 : 2;
  private static final int KILLS_OF_A_JOURNAL = Cases.LONG ? 10 : 2;

  @TempDir Path scratch;

  private int folders;
  private int processes;
  private int killedLives;
  private int killedInStart;
  private int raw;
  private int repeats;
  private int readings;

  @Test
  void whateverInstantItIsKilledAtTheStoryIsThatOfAnUninterruptedRun() throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("killed judging: seed " + seed);
    Random random = new Random(seed);
    while (killedLives < KILLED_LIVES) {
      someJournals(Mode.HONEST, random, LIVES_OF_A_PROCESS, KILLS_OF_A_JOURNAL);
      System.err.printf(
          "killed judging: %d lives killed (%d while starting) by %d kills, %d journals, %d readings,"
              + " %d records heard, %d of them again%n",
          killedLives, killedInStart, processes, folders, readings, raw, repeats);
    }
    if (killedLives >= MANY_KILLS) {
      assertThat(repeats).as("kills that hit between publish and note").isPositive();
    }
  }

  @Test
  void anAgentThatPublishesBeforeTheSyncIsFoundOut() {
    assertThatThrownBy(() -> untilFound(Mode.PUBLISHES_EARLY))
        .isInstanceOf(AssertionError.class)
        .hasMessageMatching("(?s).*(the same record again|heard and not stored|first time on).*");
  }

  @Test
  void anAgentThatForgetsItsStateIsFoundOut() {
    assertThatThrownBy(() -> untilFound(Mode.FORGETS))
        .isInstanceOf(AssertionError.class)
        .hasMessageContaining("the story");
  }

  private void untilFound(Mode mode) throws Exception {
    Random random = new Random(11);
    for (int journal = 0; journal < 4; journal++) {
      someJournals(mode, random, 1, 1);
    }
  }

  private void someJournals(Mode mode, Random random, int count, int kills) throws Exception {
    List<Heard> lives = new ArrayList<>();
    for (int life = 0; life < count; life++) {
      Path data = scratch.resolve("journal-" + folders++);
      Day day = new Day(mode, random.nextLong(), data, Integer.MAX_VALUE);
      lives.add(new Heard(day, new Consumer()));
    }
    long startNanos = TimeUnit.MILLISECONDS.toNanos(500);
    for (int kill = 0; kill < kills; kill++) {
      long begun = System.nanoTime();
      try (JudgingRun run = new JudgingRun(List.of(), lives, scratch)) {
        if (kill > 0 && mode == Mode.HONEST && random.nextInt(3) == 0) {
          Waits.pass(TimeUnit.NANOSECONDS.toMicros((long) (startNanos * random.nextDouble())));
          killedInStart += count;
        } else {
          run.hear(1);
          startNanos = System.nanoTime() - begun;
          run.hear(random.nextInt(300 * count));
        }
        run.kill();
        processes++;
        killedLives += count;
      }
    }
    readings += JudgingRun.finished(lives, scratch);
    for (Heard life : lives) {
      raw += life.consumer().raw();
      repeats += life.consumer().repeats();
    }
  }
}
