package org.borewarden.agent.peers;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Assumptions;

/**
 * Finds the programs that a test needs. With {@code -Dborewarden.peers=required} a missing one
 * fails the test, else it is skipped and says which one is missing.
 */
public final class Peers {
  private static final List<String> SYSTEM_FOLDERS = List.of("/usr/sbin", "/usr/local/sbin");

  private Peers() {}

  /** The path of a program, or the end of the test. */
  public static Path require(String program) {
    Optional<Path> found =
        folders().map(folder -> Path.of(folder, program)).filter(Files::isExecutable).findFirst();
    String missing = program + " is not installed";
    if (found.isEmpty() && "required".equals(System.getProperty("borewarden.peers"))) {
      Assertions.fail(missing);
    }
    Assumptions.assumeTrue(found.isPresent(), "skipped: " + missing);
    return found.orElseThrow();
  }

  private static Stream<String> folders() {
    String path = Optional.ofNullable(System.getenv("PATH")).orElse("/usr/bin");
    return Stream.concat(Stream.of(path.split(File.pathSeparator)), SYSTEM_FOLDERS.stream());
  }
}
