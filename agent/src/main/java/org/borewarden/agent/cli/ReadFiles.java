package org.borewarden.agent.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.AgentFile;
import org.borewarden.agent.config.ConfigCheck;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.FileText;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.file.yaml.Problem;
import org.borewarden.rules.file.yaml.Problems;

/**
 * Both files, read together: each feature of the rules must find its gauge and cell in the config.
 *
 * @param config what agent.yaml says, or what is wrong with it
 * @param rules what the rules file says, or what is wrong with it or does not fit the config; a
 *     refused config leaves it refused without problems of its own
 * @param checked the rules held against the config, where both could be read
 * @param rulesText the text of the rules file; empty where it cannot be read
 */
public record ReadFiles(
    Outcome<AgentConfig> config,
    Outcome<RulesResult> rules,
    Optional<ConfigCheck.Checked> checked,
    String rulesText) {

  /**
   * Reads both files.
   *
   * @param agentYaml the config file; it names the rules file
   * @return what they say
   */
  public static ReadFiles of(Path agentYaml) {
    Outcome<AgentConfig> config = AgentFile.read(agentYaml);
    if (config instanceof Outcome.Good<AgentConfig> good) {
      return rules(good);
    }
    return new ReadFiles(config, new Outcome.Refused<>(List.of()), Optional.empty(), "");
  }

  /**
   * Reads the rules file again, for the same config.
   *
   * @return what it says now; the same where the config is refused
   */
  public ReadFiles rulesAgain() {
    return config instanceof Outcome.Good<AgentConfig> good ? rules(good) : this;
  }

  private static ReadFiles rules(Outcome.Good<AgentConfig> config) {
    Path file = config.value().rules();
    Problems problems = new Problems(file.toString());
    Optional<String> text = FileText.read(file, problems);
    if (text.isEmpty()) {
      return new ReadFiles(config, new Outcome.Refused<>(problems.list()), Optional.empty(), "");
    }
    Outcome<RulesResult> read = RulesFile.read(file.toString(), text.get());
    if (read instanceof Outcome.Good<RulesResult> good) {
      return fitted(config, good.value(), text.get());
    }
    return new ReadFiles(config, read, Optional.empty(), text.get());
  }

  private static ReadFiles fitted(
      Outcome.Good<AgentConfig> config, RulesResult rules, String text) {
    ConfigCheck.Checked checked = ConfigCheck.references(config.value(), rules);
    Outcome<RulesResult> fitting =
        checked.problems().isEmpty()
            ? new Outcome.Good<>(rules)
            : new Outcome.Refused<>(checked.problems());
    return new ReadFiles(config, fitting, Optional.of(checked), text);
  }

  /**
   * Everything that is wrong with either file.
   *
   * @return one line each
   */
  public List<String> problems() {
    List<Problem> all = new ArrayList<>();
    if (config instanceof Outcome.Refused<AgentConfig> refused) {
      all.addAll(refused.problems());
    }
    if (rules instanceof Outcome.Refused<RulesResult> refused) {
      all.addAll(refused.problems());
    }
    return all.stream().map(Problem::toString).toList();
  }
}
