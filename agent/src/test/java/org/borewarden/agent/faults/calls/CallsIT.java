package org.borewarden.agent.faults.calls;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.borewarden.agent.journal.Machine;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every call of the journal on its files, in thousands of lives of one process. A kill is made of
 * what the files are before the call: the kernel keeps what a killed process has written, so that
 * this is what the next start finds. {@code FaultsAtCallsIT} kills processes for the same, at fewer
 * calls.
 */
class CallsIT {
  private static final int DAYS = Cases.count(1, 10);
  private static final int READINGS = Cases.LONG ? 100 : 2;

  /** To go on from a copy takes a quarter of a second. */
  private static final int EVERY = Cases.LONG ? 1 : 4;

  private static final int FAILING_DAYS = Cases.count(0, 3);
  private static final int SIDE_BY_SIDE = 8;
  private static final int CONTROL_READINGS = 3;

  @TempDir Path scratch;

  private Path library = Path.of("");

  /** What the process said, and how it ended. */
  private record Said(int exit, String text) {
    String lastLine() {
      return text.strip().substring(text.strip().lastIndexOf('\n') + 1);
    }
  }

  @BeforeEach
  void compile() throws Exception {
    library = scratch.resolve("calls.so");
    Path source = scratch.resolve("calls.c");
    try (InputStream in = CallsIT.class.getResourceAsStream("calls.c")) {
      Files.write(source, Objects.requireNonNull(in).readAllBytes());
    }
    Machine.need(
        "compiling C",
        "gcc",
        "-O2",
        "-shared",
        "-fPIC",
        "-o",
        library.toString(),
        source.toString());
  }

  @Test
  void beforeWhateverCallItIsKilledTheStoryIsThatOfAnUninterruptedRun() throws Exception {
    long seed = seed();
    Said said =
        process(
            "copies",
            "HONEST",
            Long.toString(seed),
            Integer.toString(DAYS),
            Integer.toString(READINGS),
            Integer.toString(EVERY));
    assertThat(said.exit()).as(said.text()).isZero();
    assertThat(said.lastLine()).contains("WRITE=", "SYNC=", "RENAME=1", "UNLINK=");
    System.err.printf("calls: %d runs of %d readings: %s%n", DAYS, READINGS, said.lastLine());
  }

  @Test
  void anOpenThatFailsOnceAtAReaderDoesNotKeepTheScribeFromWriting() throws Exception {
    Said said = process("reader-first");
    assertThat(said.exit()).as(said.text()).isZero();
    assertThat(said.lastLine()).as("readers that met the fault and read").isNotEqualTo("0 readers");
    System.err.println("calls: an open that fails once: " + said.lastLine());
  }

  @Test
  void whateverCallFailsOnceOrFromThenOnTheStoryIsThatOfAnUninterruptedRun() throws Exception {
    assumeTrue(Cases.LONG, "only with -Dborewarden.long=true");
    long seed = seed();
    Said said =
        process(
            "failures",
            Long.toString(seed),
            Integer.toString(FAILING_DAYS),
            Integer.toString(SIDE_BY_SIDE));
    System.err.println("calls: failures: " + said.text());
    assertThat(said.exit()).as(said.text()).isZero();
  }

  /** If these were content, the tests above could not fail. */
  @Test
  void anAgentThatForgetsItsStateIsFoundOut() throws Exception {
    Said said =
        process(
            "copies",
            "FORGETS",
            "11",
            "1",
            Integer.toString(CONTROL_READINGS),
            Integer.toString(EVERY));
    assertThat(said.exit()).isEqualTo(1);
    assertThat(said.text()).contains("the story differs");
  }

  @Test
  void aDiskThatTakesAWriteForDoneIsFoundOut() throws Exception {
    Said said = process("dropped", "11");
    assertThat(said.exit()).as(said.text()).isEqualTo(1);
    System.err.println("calls: control: " + said.text().lines().findFirst().orElse(""));
  }

  private Said process(String... words) throws IOException, InterruptedException {
    Path work = Files.createDirectories(scratch.resolve("work"));
    Path page = scratch.resolve("page");
    // The library maps the page before Java runs, so it must have its size by then.
    Files.write(page, new byte[Calls.BYTES]);
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-XX:+UseSerialGC", "-Xmx512m"));
    command.add("-Dorg.sqlite.tmpdir=" + Files.createDirectories(scratch.resolve("native")));
    command.addAll(List.of("-cp", System.getProperty("java.class.path")));
    command.addAll(List.of(CallsProcess.class.getName(), page.toString(), work.toString()));
    command.addAll(List.of(words));
    ProcessBuilder builder = new ProcessBuilder(command).redirectErrorStream(true);
    builder.environment().put("LD_PRELOAD", library.toString());
    builder.environment().put("BOREWARDEN_CALLS", page.toString());
    Process process = builder.start();
    String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    return new Said(process.waitFor(), text);
  }

  private static long seed() {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("calls: seed " + seed);
    return seed;
  }
}
