package org.borewarden.agent.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the README shows is what the readers take. */
class ReadmePairTest {
  private static final Path README = Path.of("..", "README.md");

  @TempDir Path folder;

  @Test
  void theReadmeShowsTheSmallestPair() throws IOException {
    String readme = Files.readString(README);
    assertThat(readme)
        .contains("```yaml\n" + smallest("agent.yaml") + "```")
        .contains("```yaml\n" + smallest("rules.yaml") + "```");
  }

  @Test
  void theSmallestPairIsUnderstood() throws IOException {
    Path agentYaml = folder.resolve("agent.yaml");
    Files.writeString(agentYaml, smallest("agent.yaml"));
    assertThat(AgentFile.read(agentYaml)).isInstanceOf(Outcome.Good.class);
    Outcome<RulesResult> rules = RulesFile.read("rules.yaml", smallest("rules.yaml"));
    assertThat(rules).isInstanceOf(Outcome.Good.class);
    AgentConfig config = ((Outcome.Good<AgentConfig>) AgentFile.read(agentYaml)).value();
    RulesResult read = ((Outcome.Good<RulesResult>) rules).value();
    assertThat(ConfigCheck.references(config, read).problems()).isEmpty();
  }

  private static String smallest(String name) throws IOException {
    return Files.readString(Path.of("src", "dist", "conf", name));
  }
}
