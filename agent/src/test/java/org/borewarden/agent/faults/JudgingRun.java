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
import org.borewarden.agent.faults.JudgingLife.Day;

/** One run of the {@link JudgingProcess}, and who hears its lives. */
final class JudgingRun implements AutoCloseable {
  /** A life, and who hears it. */
  record Heard(Day day, Consumer consumer) {}

  private final Path scratch;
  private final List<Heard> lives;
  private final Process process;
  private int ended;
  private final BufferedReader lines;

  /**
   * Starts it.
   *
   * @param below a command that it is to run below, such as {@code strace} with its options
   * @param lives what is to go on side by side, and who hears each
   * @param scratch where its log and its native libraries lie
   */
  JudgingRun(List<String> below, List<Heard> lives, Path scratch) throws IOException {
    this.scratch = scratch;
    this.lives = List.copyOf(lives);
    List<String> command = new ArrayList<>(below);
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1", "-Xmx192m"));
    Path nativeFolder = Files.createDirectories(scratch.resolve("native"));
    command.add("-Dorg.sqlite.tmpdir=" + nativeFolder);
    command.addAll(List.of("-cp", System.getProperty("java.class.path")));
    command.add(JudgingProcess.class.getName());
    command.addAll(JudgingProcess.words(lives.stream().map(Heard::day).toList()));
    process =
        new ProcessBuilder(command)
            .redirectError(ProcessBuilder.Redirect.appendTo(scratch.resolve("child.log").toFile()))
            .start();
    lines =
        new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8));
  }

  /** Hears so many lines of any of them. */
  void hear(int count) throws IOException {
    for (int heard = 0; heard < count; heard++) {
      String line = lines.readLine();
      assertThat(line).as("it ended: %s", log()).isNotNull();
      take(line);
    }
  }

  /** Hears all until its end, whatever end that is; whether all lives ended by themselves. */
  boolean hearToItsEnd() throws IOException, InterruptedException {
    for (String line = lines.readLine(); line != null; line = lines.readLine()) {
      take(line);
    }
    assertThat(process.waitFor(30, TimeUnit.SECONDS)).isTrue();
    return ended == lives.size();
  }

  /**
   * After all faults: one more life of each, only to its own end so that the outbox is empty, and
   * then each story must be that of an uninterrupted run, with every record in the journal and
   * heard.
   *
   * @param lives what they did until now, and who heard them
   * @param scratch where its log and its native libraries lie
   * @return the readings that their journals had after the faults
   */
  static int finished(List<Heard> lives, Path scratch) throws Exception {
    int count = 0;
    List<Heard> last = new ArrayList<>();
    for (Heard life : lives) {
      int had = Outcome.readings(life.day().data());
      count += had;
      last.add(new Heard(Outcome.lastOf(life.day(), had), life.consumer()));
    }
    try (JudgingRun run = new JudgingRun(List.of(), last, scratch)) {
      assertThat(run.hearToItsEnd()).as("its end: %s", run.log()).isTrue();
    }
    for (Heard life : last) {
      Outcome.require(life.day(), life.consumer());
    }
    return count;
  }

  /** All that it said before it died is heard. */
  void kill() throws IOException, InterruptedException {
    process.toHandle().destroyForcibly();
    assertThat(process.waitFor(30, TimeUnit.SECONDS)).isTrue();
    for (String line = lines.readLine(); line != null; line = lines.readLine()) {
      take(line);
    }
  }

  /** The last line of a killed process may be cut: a record that never arrived. */
  private void take(String line) {
    String[] words = line.split(" ", 2);
    if (words.length == 2) {
      if (words[1].equals("stopped")) {
        ended++;
      }
      Outcome.take(words[1], lives.get(Integer.parseInt(words[0])).consumer());
    }
  }

  private String log() throws IOException {
    return Files.readString(scratch.resolve("child.log"), StandardCharsets.UTF_8);
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
