package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;

/**
 * What a program said and how it ended.
 *
 * @param exit its exit code
 * @param output both of its outputs
 */
record Ran(int exit, String output) {
  private static final int SECONDS_AT_MOST = 120;

  /** Runs a program to its end, with its output in a file so that no pipe can fill. */
  static Ran run(Path folder, Map<String, String> environment, List<String> command)
      throws IOException, InterruptedException {
    Path output = Files.createTempFile("ran", ".txt");
    ProcessBuilder builder = new ProcessBuilder(command).directory(folder.toFile());
    builder.redirectErrorStream(true).redirectOutput(output.toFile());
    builder.environment().putAll(environment);
    Process process = builder.start();
    process.getOutputStream().close();
    boolean ended = process.waitFor(SECONDS_AT_MOST, TimeUnit.SECONDS);
    process.destroyForcibly();
    String said = Files.readString(output, StandardCharsets.UTF_8);
    Files.delete(output);
    assertThat(ended).as("%s ended within %s s: %s", command, SECONDS_AT_MOST, said).isTrue();
    return new Ran(process.exitValue(), said);
  }
}
