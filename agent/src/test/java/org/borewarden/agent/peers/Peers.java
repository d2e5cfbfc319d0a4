package org.borewarden.agent.peers;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Optional;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Assumptions;

/** Whether the programs that a test needs are installed. */
public final class Peers {
  private static final String POLICY = System.getProperty("borewarden.peers", "optional");

  private Peers() {}

  /**
   * Whether a program can be run.
   *
   * @param command its name
   * @return true where it is on the path, or where Debian puts services
   */
  public static boolean available(String command) {
    return find(command).isPresent();
  }

  /**
   * Where a program is.
   *
   * @param command its name
   * @return its path
   */
  public static Path program(String command) {
    return find(command).orElseThrow();
  }

  private static Optional<Path> find(String command) {
    String path = System.getenv().getOrDefault("PATH", "") + File.pathSeparator + "/usr/sbin";
    return Arrays.stream(path.split(File.pathSeparator, -1))
        .filter(folder -> !folder.isEmpty())
        .map(folder -> Path.of(folder, command))
        .filter(Files::isExecutable)
        .findFirst();
  }

  /**
   * Skips the test where a program is missing, or fails it where peers are required.
   *
   * @param commands the programs
   */
  public static void require(String... commands) {
    for (String command : commands) {
      if (!available(command)) {
        if (POLICY.equals("required")) {
          Assertions.fail(command + " is not installed, and peers are required");
        }
        Assumptions.abort("skipped: " + command + " is not installed");
      }
    }
  }
}
