package org.borewarden.agent.journal;

import static org.junit.jupiter.api.Assertions.fail;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.TimeUnit;

/** What the tests ask of the machine that not every machine grants. */
public final class Machine {
  private Machine() {}

  /** Runs a command; skips the test when it does not succeed and nobody requires it to. */
  public static void need(String what, String... command) throws IOException, InterruptedException {
    String answer;
    try {
      answer = run(command);
    } catch (IOException e) {
      answer = e.toString();
    }
    if (!answer.isEmpty()) {
      if ("required".equals(System.getProperty("borewarden.peers"))) {
        fail(what + ": " + answer);
      }
      assumeTrue(false, "skipped: " + what + ": " + answer);
    }
  }

  /**
   * Runs a command to its end.
   *
   * @return empty when it succeeded, else what it said
   */
  public static String run(String... command) throws IOException, InterruptedException {
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    if (!process.waitFor(60, TimeUnit.SECONDS)) {
      process.destroyForcibly();
      return "no end within 60 s";
    }
    return process.exitValue() == 0 ? "" : "exit " + process.exitValue() + " " + said.strip();
  }
}
