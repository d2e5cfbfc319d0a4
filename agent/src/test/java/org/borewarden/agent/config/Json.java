package org.borewarden.agent.config;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.networknt.schema.Error;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.borewarden.rules.file.yaml.Node;
import org.borewarden.rules.file.yaml.Problems;
import org.borewarden.rules.file.yaml.YamlTree;

/** What an editor makes of a YAML text (core schema of YAML 1.2), and what a schema says of it. */
public final class Json {
  private static final Path DOCS = Path.of("../docs");

  private Json() {}

  static List<Error> schemaErrors(String schema, String text) throws IOException {
    Node root = YamlTree.read(text, new Problems("example.yaml")).orElseThrow();
    return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
        .getSchema(doc(schema))
        .validate(of(root));
  }

  static String doc(String name) throws IOException {
    return Files.readString(DOCS.resolve(name));
  }

  /**
   * A YAML tree as JSON.
   *
   * @param node the tree
   * @return the same as an editor would make of it, but for numbers with a decimal point
   */
  public static JsonNode of(Node node) {
    JsonNodeFactory json = JsonNodeFactory.instance;
    if (node instanceof Node.Mapping mapping) {
      ObjectNode object = json.objectNode();
      mapping.entries().forEach(e -> object.set(e.key(), of(e.value())));
      return object;
    }
    if (node instanceof Node.Sequence list) {
      return json.arrayNode().addAll(list.items().stream().map(Json::of).toList());
    }
    Node.Scalar scalar = (Node.Scalar) node;
    String text = scalar.text();
    if (scalar.nothing()) {
      return json.nullNode();
    }
    if (text.matches("-?[0-9]{1,9}")) {
      return json.numberNode(Integer.parseInt(text));
    }
    boolean flag = "true".equals(text) || "false".equals(text);
    return flag ? json.booleanNode(Boolean.parseBoolean(text)) : json.textNode(text);
  }
}
