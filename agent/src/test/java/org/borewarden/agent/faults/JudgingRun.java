package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.faults.JudgingProcess.Mode;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.publish.Envelope;

/** One life of the {@link JudgingProcess}. */
final class JudgingRun implements AutoCloseable {
  private final Path scratch;
  private final Process process;
  private final BufferedReader lines;

  /**
   * Starts it.
   *
   * @param below a command that it is to run below, such as {@code strace} with its options
   * @param what what it is to do
   * @param scratch where its log and its native libraries lie
   */
  JudgingRun(List<String> below, Day what, Path scratch) throws IOException {
    this.scratch = scratch;
    List<String> command = new ArrayList<>(below);
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1", "-Xmx96m"));
    Path nativeFolder = Files.createDirectories(scratch.resolve("native"));
    command.add("-Dorg.sqlite.tmpdir=" + nativeFolder);
    command.addAll(List.of("-cp", System.getProperty("java.class.path")));
    command.addAll(
        List.of(
            JudgingProcess.class.getName(),
            what.mode().name(),
            Long.toString(what.seed()),
            what.data().toString(),
            Integer.toString(what.most())));
    process =
        new ProcessBuilder(command)
            .redirectError(ProcessBuilder.Redirect.appendTo(scratch.resolve("child.log").toFile()))
            .start();
    lines =
        new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
  }

  /**
   * What a life is to do.
   *
   * @param mode what is wrong with it on purpose
   * @param seed of the day's values
   * @param data its data folder
   * @param most it stops when its journal has so many readings
   */
  record Day(Mode mode, long seed, Path data, int most) {}

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

  /** Hears all until its end, whatever end that is; whether it ended by itself. */
  boolean hearToItsEnd(Consumer consumer) throws IOException, InterruptedException {
    String last = "";
    for (String line = lines.readLine(); line != null; line = lines.readLine()) {
      take(line, consumer);
      last = line;
    }
    assertThat(process.waitFor(30, TimeUnit.SECONDS)).isTrue();
    return last.equals("stopped");
  }

  /**
   * After all faults: one more life, only to its own end so that the outbox is empty, and then the
   * story must be that of an uninterrupted run, with every record in the journal and heard.
   *
   * @param day what it did until now
   * @param scratch where its log and its native libraries lie
   * @param consumer who heard it until now
   * @return the readings that its journal had after the faults
   */
  static int finished(Day day, Path scratch, Consumer consumer) throws Exception {
    Path data = day.data();
    int count = Files.exists(data.resolve("journal")) ? readingsOf(data) : 0;
    Day rest = new Day(day.mode(), day.seed(), data, count + 5);
    try (JudgingRun run = new JudgingRun(List.of(), rest, scratch)) {
      run.hear(Integer.MAX_VALUE, consumer);
    }
    List<Entry> entries = Journals.all(data);
    Story.requireSame(Shop.golden(day.seed(), count + 5), Story.of(entries));
    for (int at = 0; at < entries.size(); at++) {
      assertThat(entries.get(at).seq()).isEqualTo(at + 1L);
    }
    try (JournalReader reader = JournalReader.open(data)) {
      consumer.requireAll(entries, new Envelope("cell-4", reader.journalId()));
    }
    return count;
  }

  private static int readingsOf(Path data) throws Exception {
    return Journals.count(Journals.all(data), "reading-taken");
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
