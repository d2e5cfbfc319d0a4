package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Kills a salvage at random instants: a fault amid the recovery from damage. */
class KilledSalvageIT {
  private static final int ROUNDS = Cases.count(0, 40);
  private static final int EVENTS = 4_000;
  private static final int MOST_MILLIS = 1_000;

  @TempDir Path scratch;

  @Test
  void aKilledSalvageHasChangedNothingInTheDamagedJournalAndTheNextOneGetsItAll() throws Exception {
    assumeTrue(Cases.LONG, "only with -Dborewarden.long=true");
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("killed salvage: seed " + seed);
    Random random = new Random(seed);
    Path folder = scratch.resolve("data/journal");
    byte[] damaged = damage(folder);
    SalvageReport whole = Salvage.copy(folder, scratch.resolve("undisturbed"));
    assertThat(whole.lost()).isNotEmpty();
    int killed = 0;
    int amid = 0;
    for (int round = 0; round < ROUNDS; round++) {
      Path copy = scratch.resolve("copy-" + round);
      Process salvage = start(folder, copy);
      while (salvage.isAlive() && Files.notExists(copy)) {
        salvage.waitFor(1, TimeUnit.MILLISECONDS);
      }
      if (!salvage.waitFor(random.nextInt(MOST_MILLIS), TimeUnit.MILLISECONDS)) {
        salvage.destroyForcibly().waitFor();
        killed++;
        amid += Files.exists(copy) ? 1 : 0;
      }
      assertThat(Arrays.equals(Files.readAllBytes(folder.resolve("journal.db")), damaged))
          .as("the damaged file is as it was")
          .isTrue();
      SalvageReport next = Salvage.copy(folder, scratch.resolve("next-" + round));
      assertThat(next).as("round %d", round).isEqualTo(whole);
    }
    System.err.printf(
        "killed salvage: %d kills, %d when the copy was begun; %d entries each time%n",
        killed, amid, whole.copied());
    assertThat(amid).isPositive();
  }

  /** A journal with one altered entry, closed. */
  private byte[] damage(Path folder) throws Exception {
    Heard heard = new Heard();
    List<Entry> written = new Ledger(6, 350).events(EVENTS);
    try (JournalStore store = Stores.open(scratch.resolve("data"))) {
      store.start(heard);
      store.append(written);
      heard.awaitDurable(written.size());
    }
    Path file = folder.resolve("journal.db");
    byte[] bytes = Files.readAllBytes(file);
    byte[] body = written.get(99).body().getBytes(StandardCharsets.UTF_8);
    int at = 0;
    while (!Arrays.equals(bytes, at, at + body.length, body, 0, body.length)) {
      at++;
    }
    bytes[at + 40] ^= 1;
    Files.write(file, bytes);
    return bytes;
  }

  private Process start(Path folder, Path copy) throws Exception {
    return new ProcessBuilder(
            Path.of(System.getProperty("java.home"), "bin", "java").toString(),
            "-XX:+UseSerialGC",
            "-XX:TieredStopAtLevel=1",
            "-cp",
            System.getProperty("java.class.path"),
            "org.borewarden.agent.Main",
            "salvage",
            folder.toString(),
            copy.toString())
        .redirectErrorStream(true)
        .redirectOutput(scratch.resolve("salvage.log").toFile())
        .start();
  }
}
