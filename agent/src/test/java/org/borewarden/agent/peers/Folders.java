package org.borewarden.agent.peers;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.stream.Stream;

/** Folders of tests that need their space back before their end. */
public final class Folders {
  private Folders() {}

  /** Deletes a file, or a folder with all that is in it. */
  public static void delete(Path path) throws IOException {
    List<Path> all;
    try (Stream<Path> walked = Files.walk(path)) {
      all = walked.sorted(Comparator.reverseOrder()).toList();
    }
    for (Path each : all) {
      Files.delete(each);
    }
  }
}
