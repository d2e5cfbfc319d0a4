package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.borewarden.agent.command.CommandName;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.file.yaml.Node;
import org.borewarden.rules.file.yaml.Problems;
import org.borewarden.rules.file.yaml.YamlTree;
import org.junit.jupiter.api.Test;

/** docs/asyncapi.yaml and docs/topics.md against the code, the schemas and what was recorded. */
class TopicTreeTest {
  private static final Path DOCS = Path.of("../docs");
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Pattern EXAMPLE =
      Pattern.compile("(?m)^ +(?:payload: )?(\\{\"(?:agent|id|cell)\".*\\})$");

  @Test
  void everySchemaIsAMessageAndEveryMessageASchema() throws Exception {
    Set<String> messages = new TreeSet<>();
    for (JsonNode message : tree().at("/components/messages")) {
      String reference = message.at("/payload/$ref").textValue();
      assertThat(reference).startsWith("./schemas/");
      messages.add(reference.replaceFirst("^\\./schemas/(.*)\\.schema\\.json(#.*)?$", "$1"));
      assertThat(PayloadSchemas.document(name(reference)).isObject()).as(reference).isTrue();
    }
    try (Stream<Path> files = Files.list(DOCS.resolve("schemas"))) {
      assertThat(messages)
          .isEqualTo(
              files
                  .map(file -> file.getFileName().toString().replace(".schema.json", ""))
                  .collect(Collectors.toCollection(TreeSet::new)));
    }
  }

  @Test
  void theCommandsAndRolesAreThoseOfTheCode() throws Exception {
    assertThat(texts(tree().at("/components/parameters/name/enum")))
        .containsExactlyInAnyOrderElementsOf(
            Arrays.stream(CommandName.values()).map(CommandName::key).toList());
    assertThat(texts(tree().at("/components/parameters/role/enum")))
        .containsExactlyInAnyOrderElementsOf(Arrays.stream(Role.values()).map(Role::key).toList());
    assertThat(tree().at("/channels/command/messages").size())
        .isEqualTo(CommandName.values().length);
  }

  @Test
  void everyExampleWasRecordedAndIsValid() throws Exception {
    List<JsonNode> recorded = new ArrayList<>();
    try (Stream<Path> releases = Files.list(Path.of("src/test/resources/payloads"))) {
      for (Path release : releases.toList()) {
        for (String line : Files.readAllLines(release, StandardCharsets.UTF_8)) {
          recorded.add(JSON.readTree(line).get("payload"));
        }
      }
    }
    List<String> shown = new ArrayList<>();
    for (String page : List.of("asyncapi.yaml", "topics.md")) {
      List<String> here =
          EXAMPLE.matcher(text(page)).results().map(found -> found.group(1)).toList();
      assertThat(here).as(page).hasSizeGreaterThanOrEqualTo(4);
      shown.addAll(here);
    }
    for (String example : shown) {
      assertThat(recorded).as("recorded: " + example).contains(JSON.readTree(example));
    }
    int tree =
        tree().at("/components/messages").findValues("examples").stream()
            .mapToInt(JsonNode::size)
            .sum();
    assertThat(shown).as("examples of the tree and of the page").hasSizeGreaterThan(tree);
  }

  private static String name(String reference) {
    return reference.replaceFirst("^\\./schemas/", "").replace(".schema.json", "");
  }

  private static List<String> texts(JsonNode list) {
    List<String> all = new ArrayList<>();
    list.forEach(one -> all.add(one.textValue()));
    return all;
  }

  private static String text(String page) throws Exception {
    return Files.readString(DOCS.resolve(page), StandardCharsets.UTF_8);
  }

  private static JsonNode tree() throws Exception {
    Problems problems = new Problems("asyncapi.yaml");
    Optional<Node> root = YamlTree.read(text("asyncapi.yaml"), problems);
    return org.borewarden.agent.config.Json.of(
        root.orElseThrow(() -> new AssertionError(problems.list().toString())));
  }
}
