package org.borewarden.agent.config;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import org.borewarden.rules.file.yaml.Keys;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.file.yaml.Problem;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Holds the reader, the schema and the reference page of agent.yaml against each other. */
class AgentFileTest {
  private static final String CANARY = "Hunter2";

  @TempDir private Path folder;

  @BeforeEach
  void makeTheFilesThatExamplesName() throws IOException {
    file("open-key", "rw-r--r--");
    file("own-key", "rw-------");
    Files.createDirectory(folder.resolve("secret"));
    for (String name : List.of("password", "client.key", "line-4.pem", "token", "persons")) {
      file("secret/" + name, "rw-------");
    }
    for (String name : List.of("ca.pem", "client.pem")) {
      file("secret/" + name, "rw-r--r--");
    }
  }

  private void file(String name, String mode) throws IOException {
    Path path = Files.writeString(folder.resolve(name), CANARY + "\n");
    Files.setPosixFilePermissions(path, PosixFilePermissions.fromString(mode));
  }

  static List<Cases> refused() {
    return Cases.of("/config/refused.txt");
  }

  @ParameterizedTest
  @MethodSource("refused")
  void eachRefusalIsOneLineWithItsPlace(Cases refused) throws IOException {
    assertThat(problems(refused.text())).containsExactlyElementsOf(refused.problems());
  }

  @ParameterizedTest
  @MethodSource("refused")
  void noRefusalRepeatsASecret(Cases refused) throws IOException {
    assertThat(problems(refused.text())).noneMatch(line -> line.contains(CANARY));
  }

  @ParameterizedTest
  @MethodSource("refused")
  void theSchemaRefusesWhatItCanExpress(Cases refused) throws IOException {
    boolean accepted = Json.schemaErrors("agent.schema.json", refused.text()).isEmpty();
    assertThat(accepted).isEqualTo(refused.schema() == Cases.Schema.ACCEPTS);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "/smallest/agent.yaml",
        "/config/valid/every-key.yaml",
        "/config/valid/small-choices.yaml"
      })
  void aGoodFileIsGoodForReaderAndSchema(String name) throws IOException {
    String text = Cases.resource(name);
    assertThat(problems(text)).isEmpty();
    assertThat(Json.schemaErrors("agent.schema.json", text)).isEmpty();
  }

  @Test
  void everyKeyStandsInTheSchemaAndNoOther() throws IOException {
    JsonNode definitions = new ObjectMapper().readTree(Json.doc("agent.schema.json")).get("$defs");
    for (Keys keys : AgentKeys.ALL) {
      Set<String> inSchema = new TreeSet<>();
      definitions
          .get(keys.mapping())
          .get("properties")
          .fieldNames()
          .forEachRemaining(inSchema::add);
      assertThat(inSchema)
          .as(keys.mapping())
          .containsExactlyInAnyOrderElementsOf(new TreeSet<>(keys.known()));
    }
  }

  @Test
  void everyKeyStandsInTheReferencePageAndInAnExample() throws IOException {
    String page = Json.doc("agent-config.md");
    String examples =
        Cases.resource("/config/valid/every-key.yaml")
            + Cases.resource("/config/valid/small-choices.yaml");
    assertThat(page).contains("```yaml\n" + Cases.resource("/smallest/agent.yaml") + "```");
    for (Keys keys : AgentKeys.ALL) {
      for (String key : keys.known()) {
        assertThat(page).as(keys.mapping()).contains("`" + key + "`");
        assertThat(examples).as(keys.mapping()).containsPattern("(?m)[ {]*" + key + ":");
      }
    }
  }

  /** Seeded: each text is a good file with a few characters changed, doubled or cut. */
  @Test
  void aDamagedFileIsEitherGoodOrRefusedInLines() throws IOException {
    long seed = 20_260_102;
    Random random = new Random(seed);
    String good = Cases.resource("/config/valid/every-key.yaml");
    int refused = 0;
    for (int i = 0; i < 1_000; i++) {
      List<String> told = problems(damaged(good, random));
      refused += told.isEmpty() ? 0 : 1;
      assertThat(told).as("seed %s, file %s", seed, i).allMatch(line -> line.lines().count() == 1);
    }
    assertThat(refused).as("seed %s", seed).isGreaterThan(500);
  }

  private static String damaged(String good, Random random) {
    String odd = "{}[]:,-#&*!|>'\"%@`\n\t 0+.m/?()\u0000";
    StringBuilder text = new StringBuilder(good);
    for (int n = 1 + random.nextInt(4); n > 0; n--) {
      int at = random.nextInt(text.length());
      switch (random.nextInt(3)) {
        case 0 -> text.setCharAt(at, odd.charAt(random.nextInt(odd.length())));
        case 1 -> text.insert(at, text.substring(at, Math.min(text.length(), at + 20)));
        default -> text.delete(at, Math.min(text.length() - 1, at + random.nextInt(30)));
      }
    }
    return text.toString();
  }

  @Test
  void aFileThatIsNotThereIsSaidToBeMissing() {
    Path file = folder.resolve("nowhere.yaml");
    assertThat(lines(AgentFile.read(file)))
        .containsExactly("nowhere.yaml:1:1 expected a readable file, found none (no such file)");
  }

  private List<String> problems(String text) throws IOException {
    Path file = Files.writeString(folder.resolve("agent.yaml"), text);
    return lines(AgentFile.read(file, AgentFileTest::environment));
  }

  private List<String> lines(Outcome<AgentConfig> outcome) {
    return outcome instanceof Outcome.Refused<AgentConfig> refused
        ? refused.problems().stream()
            .map(Problem::toString)
            .map(line -> line.replace(folder + "/", ""))
            .toList()
        : List.of();
  }

  static Optional<String> environment(String name) {
    return "MQTT_PASSWORD".equals(name) ? Optional.of(CANARY) : Optional.empty();
  }
}
