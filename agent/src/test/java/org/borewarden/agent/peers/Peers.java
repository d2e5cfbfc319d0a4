package org.borewarden.agent.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;

/**
 * Real programs that some tests talk to. With the system property {@code borewarden.peers} = {@code
 * required} a missing one fails the test, else the test is skipped by name.
 */
public final class Peers {
  private Peers() {}

  /** Whether a program is installed. */
  public static boolean available(String program) {
    String path = System.getenv().getOrDefault("PATH", "") + File.pathSeparator + "/usr/sbin";
    return Arrays.stream(path.split(File.pathSeparator))
        .anyMatch(folder -> Files.isExecutable(Path.of(folder, program)));
  }

  /** Fails or skips the calling test where a program is missing. */
  public static void require(String program) {
    if ("required".equals(System.getProperty("borewarden.peers"))) {
      assertThat(available(program)).as("%s is installed", program).isTrue();
    } else {
      assumeTrue(available(program), "skipped: " + program + " is not installed");
    }
  }
}
