package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.faults.JudgingProcess.Mode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Kills the judging half of the agent again and again, at random instants of its start and of its
 * work, and compares what its journal and its consumer have with an uninterrupted run.
 */
class KilledJudgingIT {
  private static final boolean LONG = Boolean.getBoolean("borewarden.long");

  /** From here on it would be no chance if no kill hit between publish and note. */
  private static final int MANY_KILLS = 50;

  private static final Duration TIME =
      Duration.ofSeconds(Integer.getInteger("borewarden.seconds", LONG ? 900 : 5));
  private static final int KILLS_OF_A_JOURNAL = 10;
  private static final int LEAST_KILLS = 4;

  @TempDir Path scratch;

  private int folders;
  private int kills;
  private int killedInStart;
  private int raw;
  private int repeats;
  private int readings;

  @Test
  void whateverInstantItIsKilledAtTheStoryIsThatOfAnUninterruptedRun() throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("killed judging: seed " + seed);
    Random random = new Random(seed);
    long end = System.nanoTime() + TIME.toNanos();
    while (System.nanoTime() < end || kills < LEAST_KILLS) {
      oneJournal(Mode.HONEST, random, end);
    }
    System.err.printf(
        "killed judging: %d kills (%d while starting), %d journals, %d readings, %d records heard,"
            + " %d of them again%n",
        kills, killedInStart, folders, readings, raw, repeats);
    if (kills >= MANY_KILLS) {
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
      oneJournal(mode, random, Long.MAX_VALUE);
    }
  }

  private void oneJournal(Mode mode, Random random, long end) throws Exception {
    Path data = scratch.resolve("journal-" + folders++);
    long day = random.nextLong();
    Consumer consumer = new Consumer();
    long startNanos = TimeUnit.MILLISECONDS.toNanos(500);
    int killsHere = mode == Mode.HONEST ? KILLS_OF_A_JOURNAL : 1;
    boolean goOn = true;
    for (int kill = 0; kill < killsHere && goOn; kill++) {
      long begun = System.nanoTime();
      try (JudgingRun run = run(mode, day, data, Integer.MAX_VALUE)) {
        if (kill > 0 && mode == Mode.HONEST && random.nextInt(3) == 0) {
          Waits.pass(TimeUnit.NANOSECONDS.toMicros((long) (startNanos * random.nextDouble())));
          killedInStart++;
        } else {
          run.hear(1, consumer);
          startNanos = System.nanoTime() - begun;
          run.hear(random.nextInt(300), consumer);
        }
        run.kill(consumer);
        kills++;
        goOn = System.nanoTime() < end || kills < LEAST_KILLS;
      }
    }
    readings += JudgingRun.finished(new JudgingRun.Day(mode, day, data, 0), scratch, consumer);
    raw += consumer.raw();
    repeats += consumer.repeats();
  }

  private JudgingRun run(Mode mode, long day, Path data, int most) throws IOException {
    return new JudgingRun(List.of(), new JudgingRun.Day(mode, day, data, most), scratch);
  }
}
