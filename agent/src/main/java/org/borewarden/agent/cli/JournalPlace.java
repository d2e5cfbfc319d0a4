package org.borewarden.agent.cli;

import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.AgentFile;
import org.borewarden.agent.config.SiteConfig;
import org.borewarden.rules.file.yaml.Outcome;
import picocli.CommandLine.Option;

/** Where a journal lies: named, or in the data folder of agent.yaml. */
final class JournalPlace {
  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      defaultValue = "agent.yaml",
      description =
          "The agent's config file (default: ${DEFAULT-VALUE}); it names the data folder.")
  private Path config = Path.of("agent.yaml");

  @Option(
      names = {"-j", "--journal"},
      paramLabel = "FOLDER",
      description = "A journal's folder instead, such as one that was set aside.")
  private Optional<Path> journal = Optional.empty();

  JournalPlace() {}

  /** The folder of the journal; empty when the config is wrong, which was then said. */
  Optional<Path> journalFolder(PrintWriter err) {
    return journal.isPresent() ? journal : dataFolder(err).map(data -> data.resolve("journal"));
  }

  /** The data folder that the config names; empty when the config is wrong, which was then said. */
  Optional<Path> dataFolder(PrintWriter err) {
    return dataFolder(config, err);
  }

  /** The data folder that a config names; empty when it is wrong, which was then said. */
  static Optional<Path> dataFolder(Path config, PrintWriter err) {
    return agent(config, err).map(AgentConfig::data);
  }

  /**
   * The clock and shifts of the site; usual ones beside a journal that was named without a config.
   * Empty when the config is wrong, which was then said.
   */
  Optional<SiteConfig> site(PrintWriter err) {
    if (journal.isPresent() && !Files.exists(config)) {
      return Optional.of(SiteConfig.DEFAULT);
    }
    return agent(config, err).map(AgentConfig::site);
  }

  private static Optional<AgentConfig> agent(Path config, PrintWriter err) {
    Outcome<AgentConfig> read = AgentFile.read(config);
    if (read instanceof Outcome.Refused<AgentConfig> refused) {
      refused.problems().forEach(problem -> err.println(problem.toString()));
      return Optional.empty();
    }
    return Optional.of(((Outcome.Good<AgentConfig>) read).value());
  }
}
