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
   * The path of a program. Where it is missing the test is skipped, or fails where peers are
   * required.
   *
   * @param command its name
   * @return its path
   */
  public static Path require(String command) {
    Optional<Path> found = find(command);
    if (found.isEmpty() && POLICY.equals("required")) {
      Assertions.fail(command + " is not installed, and peers are required");
    }
    Assumptions.assumeTrue(found.isPresent(), "skipped: " + command + " is not installed");
    return found.orElseThrow();
  }

  /**
   * Does the same for several programs.
   *
   * @param command the first
   * @param more the others
   */
  public static void require(String command, String... more) {
    require(command);
    for (String other : more) {
      require(other);
    }
  }
}
