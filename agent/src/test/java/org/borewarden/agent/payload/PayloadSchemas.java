package org.borewarden.agent.payload;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;

/** The published schemas, for tests that hold payloads against them. */
public final class PayloadSchemas {
  private static final Path FOLDER = Path.of("../docs/schemas");
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Map<String, Schema> READ = new ConcurrentHashMap<>();

  /** What a record's kind in the journal is called among the schemas. */
  private static final Map<String, String> OF_KIND =
      Map.ofEntries(
          Map.entry("reading-taken", "reading"),
          Map.entry("reading-corrected", "reading-corrected"),
          Map.entry("frame-rejected", "rejected"),
          Map.entry("reading-disbelieved", "rejected"),
          Map.entry("bore-judged", "verdict"),
          Map.entry("bore-discarded", "verdict-discarded"),
          Map.entry("alert-changed", "alert"),
          Map.entry("window-suspected", "recheck"),
          Map.entry("window-withdrawn", "recheck"),
          Map.entry("attribute-judged", "verdict-attribute"));

  private PayloadSchemas() {}

  /**
   * The schema of a record.
   *
   * @param kind its kind in the journal
   * @return the schema's name
   */
  public static String ofKind(String kind) {
    return java.util.Optional.ofNullable(OF_KIND.get(kind)).orElseThrow();
  }

  /**
   * The schema of what came on a topic.
   *
   * @param below the topic below the root
   * @param payload what came
   * @return the schema's name
   */
  public static String ofTopic(String below, String payload) {
    String first = below.replaceFirst("/.*", "");
    if (payload.contains("\"corrects\":")) {
      return "reading-corrected";
    }
    if (payload.contains("\"found\":")) {
      return "verdict-attribute";
    }
    return payload.contains("\"revised\":") ? "verdict-discarded" : first;
  }

  /**
   * A schema as it is shipped.
   *
   * @param name its name, or its name, {@code #/$defs/} and that of a part of it
   * @return the document, or the part
   */
  public static JsonNode document(String name) {
    int part = name.indexOf('#');
    try {
      JsonNode whole =
          JSON.readTree(
              Files.readString(
                  FOLDER.resolve((part < 0 ? name : name.substring(0, part)) + ".schema.json")));
      return part < 0 ? whole : whole.at(name.substring(part + 1));
    } catch (IOException missing) {
      throw new UncheckedIOException(missing);
    }
  }

  /**
   * What a schema has against a payload.
   *
   * @param name the schema's name, as for {@link #document}
   * @param payload JSON
   * @return one line each; empty where it is valid
   */
  public static List<String> problems(String name, String payload) {
    try {
      return problems(name, JSON.readTree(payload));
    } catch (IOException notJson) {
      return List.of("not JSON: " + notJson.getMessage());
    }
  }

  static List<String> problems(String name, JsonNode payload) {
    return READ
        .computeIfAbsent(
            name,
            wanted ->
                SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
                    .getSchema(document(wanted).toString()))
        .validate(payload)
        .stream()
        .map(Object::toString)
        .toList();
  }
}
