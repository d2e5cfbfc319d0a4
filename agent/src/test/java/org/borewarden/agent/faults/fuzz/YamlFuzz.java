package org.borewarden.agent.faults.fuzz;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.borewarden.agent.config.AgentFile;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.yaml.Outcome;

/** A file that a person may have written, against both readers. */
public final class YamlFuzz {
  private static final Path FILE = file();

  private YamlFuzz() {}

  /**
   * Either something valid or located problems come of it, and the same again.
   *
   * @param data the file
   */
  public static void fuzzerTestOneInput(byte[] data) {
    String text = new String(data, StandardCharsets.UTF_8);
    require(RulesFile.read("rules.yaml", text), RulesFile.read("rules.yaml", text));
    try {
      Files.write(FILE, data);
    } catch (IOException full) {
      throw new UncheckedIOException(full);
    }
    require(
        AgentFile.read(FILE, name -> Optional.empty()),
        AgentFile.read(FILE, name -> Optional.empty()));
  }

  private static void require(Outcome<?> once, Outcome<?> again) {
    if (once instanceof Outcome.Refused<?> refused) {
      if (refused.problems().isEmpty()) {
        throw new IllegalStateException("refused without a problem");
      }
      if (!(again instanceof Outcome.Refused<?> second)
          || !refused.problems().equals(second.problems())) {
        throw new IllegalStateException("refused otherwise the second time");
      }
    } else if (again instanceof Outcome.Refused<?>) {
      throw new IllegalStateException("refused the second time only");
    }
  }

  private static Path file() {
    try {
      Path file = Files.createTempFile("fuzz", ".yaml");
      file.toFile().deleteOnExit();
      return file;
    } catch (IOException none) {
      throw new UncheckedIOException(none);
    }
  }
}
