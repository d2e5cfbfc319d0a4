package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * {@code demo/run --fast} as somebody types it who sees the project for the first time. It takes
 * longer than a build should; {@link ToldStoryTest} reads a run that was recorded.
 */
class DemoIT {
  @TempDir private Path folder;

  @Test
  void theDemoTellsItsStoryActByActAndEndsWell() throws Exception {
    assumeTrue(Boolean.getBoolean("borewarden.long"), "only with -Dborewarden.long=true");
    Path told = folder.resolve("told.txt");
    ProcessBuilder builder =
        new ProcessBuilder("./demo/run", "--fast")
            .directory(Path.of("..").toFile())
            .redirectErrorStream(true)
            .redirectOutput(told.toFile());
    builder.environment().put("JAVA_HOME", System.getProperty("java.home"));
    builder.environment().put("TMPDIR", folder.toString());
    Process demo = builder.start();
    boolean ended = demo.waitFor(10, TimeUnit.MINUTES);
    demo.destroyForcibly();
    String all = Files.readString(told, StandardCharsets.UTF_8);
    assertThat(ended).as(all).isTrue();
    assertThat(demo.exitValue()).as(all).isZero();
    assertThat(ToldStory.wrong(all.lines().toList())).as(all).isEmpty();
  }
}
