package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.faults.JudgingProcess.Mode;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.publish.Envelope;
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
      Duration.ofSeconds(Integer.getInteger("borewarden.seconds", LONG ? 3600 : 5));
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
        .hasMessageContaining("the same record again");
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
      try (Run run = new Run(mode, day, data, Integer.MAX_VALUE)) {
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
    int count = Files.exists(data.resolve("journal")) ? readingsOf(data) : 0;
    readings += count;
    // One more run that only comes to its own end, so that the outbox is empty.
    try (Run run = new Run(mode, day, data, count + 5)) {
      run.hear(Integer.MAX_VALUE, consumer);
    }
    List<Entry> entries = Journals.all(data);
    raw += consumer.raw();
    repeats += consumer.repeats();
    Story.requireSame(Shop.golden(day, count + 5), Story.of(entries));
    for (int at = 0; at < entries.size(); at++) {
      assertThat(entries.get(at).seq()).isEqualTo(at + 1L);
    }
    try (JournalReader reader = JournalReader.open(data)) {
      consumer.requireAll(entries, new Envelope("cell-4", reader.journalId()));
    }
  }

  private static int readingsOf(Path data) throws Exception {
    return Journals.count(Journals.all(data), "reading-taken");
  }

  /** One life of the process. */
  private final class Run implements AutoCloseable {
    private final Process process;
    private final BufferedReader lines;

    Run(Mode mode, long day, Path data, int most) throws IOException {
      List<String> command = new ArrayList<>();
      command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
      command.addAll(List.of("-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1", "-Xmx96m"));
      Path nativeFolder = Files.createDirectories(scratch.resolve("native"));
      command.add("-Dorg.sqlite.tmpdir=" + nativeFolder);
      command.addAll(List.of("-cp", System.getProperty("java.class.path")));
      command.addAll(
          List.of(
              JudgingProcess.class.getName(),
              mode.name(),
              Long.toString(day),
              data.toString(),
              Integer.toString(most)));
      process =
          new ProcessBuilder(command)
              .redirectError(
                  ProcessBuilder.Redirect.appendTo(scratch.resolve("child.log").toFile()))
              .start();
      lines =
          new BufferedReader(
              new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
    }

    /** Hears so many lines, or all until its own end. */
    void hear(int count, Consumer consumer) throws IOException {
      for (int heard = 0; heard < count; heard++) {
        String line = lines.readLine();
        if (line == null || line.equals("stopped")) {
          assertThat(count).as("it ended: %s", log()).isEqualTo(Integer.MAX_VALUE);
          assertThat(line).as("its last word: %s", log()).isEqualTo("stopped");
          return;
        }
        take(line, consumer);
      }
    }

    void kill(Consumer consumer) throws IOException, InterruptedException {
      process.toHandle().destroyForcibly();
      assertThat(process.waitFor(30, TimeUnit.SECONDS)).isTrue();
      for (String line = lines.readLine(); line != null; line = lines.readLine()) {
        take(line, consumer);
      }
    }

    /** The last line of a killed process may be cut: a record that never arrived. */
    private void take(String line, Consumer consumer) {
      String[] words = line.split(" ", 3);
      if (words.length == 3 && words[0].equals("record") && words[2].endsWith("}")) {
        try {
          consumer.take(topic(words[2]), words[2]);
        } catch (AssertionError cut) {
          if (!String.valueOf(cut.getMessage()).startsWith("not JSON")) {
            throw cut;
          }
        }
      }
    }

    private String topic(String payload) {
      return payload.contains("\"verdict\":")
          ? "verdict"
          : payload.contains("\"alert\":") ? "alert" : "reading";
    }

    private String log() throws IOException {
      return Files.readString(scratch.resolve("child.log"), StandardCharsets.UTF_8);
    }

    @Override
    public void close() {
      process.destroyForcibly();
    }
  }
}
