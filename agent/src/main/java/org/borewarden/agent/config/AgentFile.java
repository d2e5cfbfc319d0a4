package org.borewarden.agent.config;

import java.nio.file.Path;
import java.util.Optional;
import java.util.function.Function;
import org.borewarden.rules.file.yaml.FileText;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.file.yaml.Problems;
import org.borewarden.rules.file.yaml.YamlTree;

/** Reads agent.yaml: where things are. Relative paths count from the folder that it lies in. */
public final class AgentFile {
  private AgentFile() {}

  /**
   * Reads a file, and looks whether the files and environment variables that it names are there.
   *
   * @param file agent.yaml
   * @return the config, or everything that is wrong with the file
   */
  public static Outcome<AgentConfig> read(Path file) {
    return read(file, name -> Optional.ofNullable(System.getenv(name)));
  }

  /**
   * Reads a file.
   *
   * @param file agent.yaml
   * @param environment the environment variables, by name
   * @return the config, or everything that is wrong with the file
   */
  public static Outcome<AgentConfig> read(
      Path file, Function<String, Optional<String>> environment) {
    Problems problems = new Problems(file.toString());
    Path folder = Optional.ofNullable(file.toAbsolutePath().getParent()).orElse(file);
    AgentReader reader = new AgentReader(new FilePaths(folder), new Secrets(environment));
    Optional<AgentConfig> config =
        FileText.read(file, problems)
            .flatMap(text -> YamlTree.read(text, problems))
            .flatMap(root -> reader.read(new Item(root, "", problems)));
    return config.isPresent() && problems.none()
        ? new Outcome.Good<>(config.get())
        : new Outcome.Refused<>(problems.list());
  }
}
