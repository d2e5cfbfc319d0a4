package org.borewarden.agent.config;

import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** The readers of paths, which count from the folder of agent.yaml. */
final class FilePaths {
  /** The longest path, characters. */
  static final int LONGEST = 1_000;

  private final Path folder;

  FilePaths(Path folder) {
    this.folder = folder;
  }

  /** A path, whether or not something is there. */
  Reader<Path> path() {
    return Reader.of("a path", this::resolved);
  }

  /** A file that must be there. */
  Reader<Path> readable() {
    return Reader.of(
        "a readable file",
        item ->
            resolved(item)
                .flatMap(
                    path ->
                        Files.isRegularFile(path) && Files.isReadable(path)
                            ? Optional.of(path)
                            : item.expected("a readable file")));
  }

  /**
   * A file that holds a secret. Its name is not repeated, because who takes this key for the secret
   * itself would find it in the log.
   */
  Reader<Path> secret() {
    return Reader.of(
        "a readable file",
        item -> {
          if (item.text().isEmpty()) {
            return item.expected("a readable file");
          }
          return resolved(item)
              .flatMap(
                  path -> {
                    Optional<String> complaint = Secrets.complaint(path);
                    return complaint.isEmpty() ? Optional.of(path) : item.refuse(complaint.get());
                  });
        });
  }

  private Optional<Path> resolved(Item item) {
    Optional<String> text = Scalars.text(LONGEST).read(item);
    try {
      return text.map(t -> folder.resolve(t).normalize());
    } catch (InvalidPathException e) {
      return item.refuse("expected a path of this system (" + e.getReason() + ")");
    }
  }
}
