package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.faults.JudgingLife.Day;
import org.borewarden.agent.faults.JudgingLife.Mode;
import org.borewarden.agent.faults.JudgingRun.Heard;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Kills the judging half of the agent, or fails its disk, at the n-th call of each kind that its
 * journal makes, and compares what came of it with an uninterrupted run. With {@code
 * -Dborewarden.long=true} at every n until a life makes no more calls, else at one; {@code
 * -Dborewarden.call=sync,error=EIO} asks for one pair of call and fault only. strace counts the
 * calls of each thread for itself, and the opening of a new journal makes more of them than the
 * scribe behind it: so the sweep goes over a life that makes its journal and over one that finds it
 * begun, where the opening makes few and the scribe's own calls are reached. What it compares with
 * is the comparison of {@link KilledJudgingIT}, whose controls show that it finds an agent that
 * publishes early or forgets.
 */
class FaultsAtCallsIT {
  private static final int READINGS = 10;
  private static final int BEGUN = 3;
  private static final int MOST_CALLS = 5_000;
  private static final int MISSED = 3;
  private static final long DAY = 86_400;
  private static final int COMPOUND_ROUNDS = Cases.count(0, 60);
  private static final int COMPOUND_LIVES = 3;
  private static final int COMPOUND_FIRST = 40;
  private static final int COMPOUND_LATER = 12;
  private static final List<String> COMPOUND =
      List.of(
          "pwrite64,signal=KILL",
          "sync,signal=KILL",
          "openat,signal=KILL",
          "ftruncate,signal=KILL",
          "pwrite64,error=ENOSPC",
          "pwrite64,error=EIO",
          "sync,error=EIO");

  /** One of the pairs below, such as {@code sync,error=EIO}; absent: all. */
  private static final Optional<String> ONLY =
      Optional.ofNullable(System.getProperty("borewarden.call"));

  @TempDir Path scratch;

  private int lives;

  @BeforeEach
  void strace() {
    Peers.require("strace");
  }

  /** {@code sync} is fsync and fdatasync. */
  @ParameterizedTest(name = "{0} {1}")
  @CsvSource({
    "pwrite64,signal=KILL,0",
    "sync,signal=KILL,0",
    "ftruncate,signal=KILL,0",
    "unlink,signal=KILL,0",
    "openat,signal=KILL,0",
    "rename,signal=KILL,0",
    "pwrite64,error=EIO,0",
    "pwrite64,error=ENOSPC,5",
    "sync,error=EIO,0"
  })
  void whateverCallItIsTheStoryIsThatOfAnUninterruptedRun(String call, String fault, int usual)
      throws Exception {
    assumeTrue(Cases.LONG || usual > 0, "only with -Dborewarden.long=true");
    assumeTrue(ONLY.map((call + "," + fault)::equals).orElse(true), "another call is asked for");
    if (!Cases.LONG) {
      assertThat(oneFault(call, fault, usual, BEGUN)).as("it struck").isTrue();
      return;
    }
    int made = sweep(call, fault, 0);
    int begun = sweep(call, fault, BEGUN);
    System.err.printf("faults at calls: %s %s: %d + %d points%n", call, fault, made, begun);
    assertThat(made).as("points hit").isPositive();
  }

  /**
   * At every n until lives make no more calls; how many struck. How many calls a life makes hangs
   * on how many readings go to the disk together, so that one life without is not the end.
   */
  private int sweep(String call, String fault, int begun) throws Exception {
    int struck = 0;
    int missed = 0;
    for (int n = 1; missed < MISSED; n++) {
      assertThat(n).as("the calls of %s come to an end", call).isLessThan(MOST_CALLS);
      boolean bit = oneFault(call, fault, n, begun);
      struck += bit ? 1 : 0;
      missed = bit ? 0 : missed + 1;
    }
    return struck;
  }

  /**
   * Three lives, each with a fault of its own, the later ones early in the recovery from the one
   * before: opening, emptying of the log, replay, first writes.
   */
  @Test
  void faultsAmidTheRecoveryFromFaultsLeaveTheStoryOfAnUninterruptedRun() throws Exception {
    assumeTrue(Cases.LONG, "only with -Dborewarden.long=true");
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("faults at calls: compound: seed " + seed);
    Random random = new Random(seed);
    int hit = 0;
    int deep = 0;
    for (int round = 0; round < COMPOUND_ROUNDS; round++) {
      Path data = scratch.resolve("compound-" + round);
      Day day = new Day(Mode.HONEST, DAY + round, data, READINGS);
      Heard one = new Heard(day, new Consumer());
      int bites = 0;
      for (int life = 0; life < COMPOUND_LIVES; life++) {
        String[] fault = COMPOUND.get(random.nextInt(COMPOUND.size())).split(",", -1);
        int n = 1 + random.nextInt(life == 0 ? COMPOUND_FIRST : COMPOUND_LATER);
        bites += oneLife(fault[0], fault[1] + ":when=" + n, one) ? 1 : 0;
      }
      JudgingRun.finished(List.of(one), scratch);
      hit += bites;
      deep += bites > 1 ? 1 : 0;
    }
    System.err.printf(
        "faults at calls: compound: %d rounds, %d faults, in %d rounds more than one%n",
        COMPOUND_ROUNDS, hit, deep);
    assertThat(deep).isPositive();
  }

  /**
   * One life with a fault at its n-th call, and what came of it; whether there was such a call.
   *
   * @param begun the readings that its journal has before, none for a life that makes its own
   */
  private boolean oneFault(String call, String fault, int n, int begun) throws Exception {
    Path data = scratch.resolve("life-" + lives++);
    Consumer consumer = new Consumer();
    if (begun > 0) {
      Heard before = new Heard(new Day(Mode.HONEST, DAY, data, begun), consumer);
      try (JudgingRun run = new JudgingRun(List.of(), List.of(before), scratch)) {
        assertThat(run.hearToItsEnd()).isTrue();
      }
    }
    Heard life = new Heard(new Day(Mode.HONEST, DAY, data, READINGS), consumer);
    boolean bit = oneLife(call, fault + ":when=" + n, life);
    JudgingRun.finished(List.of(life), scratch);
    return bit;
  }

  /** One life below strace; whether the fault struck. */
  private boolean oneLife(String call, String inject, Heard life) throws Exception {
    Path trace = scratch.resolve("trace");
    Files.deleteIfExists(trace);
    List<String> strace = below(trace, life.day().data(), call, inject);
    try (JudgingRun run = new JudgingRun(strace, List.of(life), scratch)) {
      run.hearToItsEnd();
    }
    String said = Files.readString(trace);
    return said.contains("INJECTED") || said.contains("killed by SIGKILL");
  }

  /** strace, on the journal's own files only. */
  private static List<String> below(Path trace, Path data, String call, String inject) {
    List<String> command = new ArrayList<>(List.of("strace", "-f", "-qq", "-o", trace.toString()));
    for (String folder : List.of("journal.new", "journal")) {
      command.addAll(List.of("-P", data.resolve(folder).toString()));
      for (String end : List.of("", "-wal", "-shm", "-journal")) {
        command.addAll(List.of("-P", data.resolve(folder).resolve("journal.db") + end));
      }
    }
    String calls = call.equals("sync") ? "fsync,fdatasync" : call;
    command.addAll(List.of("-e", "trace=" + calls, "-e", "inject=" + calls + ":" + inject));
    return command;
  }
}
