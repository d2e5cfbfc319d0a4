package org.borewarden.agent.config;

import java.util.Optional;
import java.util.regex.Pattern;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;

/** Reads where things stand in a JSON frame: a pointer to the value alone, or a mapping. */
final class JsonReader {
  static final int LONGEST_POINTER = 200;

  /** RFC 6901, section 3: a tilde is written ~0 and a slash ~1. */
  private static final Pattern POINTER = Pattern.compile("(/([^~/]|~[01])*)*");

  private JsonReader() {}

  static Reader<JsonPaths> paths() {
    return Reader.of(
        "a JSON Pointer to the value, such as /reading/value, or a mapping",
        item ->
            item.isMapping()
                ? Fields.open(item, AgentKeys.JSON).flatMap(JsonReader::paths)
                : pointer()
                    .read(item)
                    .map(
                        value ->
                            new JsonPaths(
                                value, Optional.empty(), Optional.empty(), Optional.empty())));
  }

  private static Optional<JsonPaths> paths(Fields fields) {
    Optional<String> value = fields.required("value", pointer());
    Optional<String> unit = fields.optional("unit", pointer());
    Optional<String> input = fields.optional("input", pointer());
    Optional<String> status = fields.optional("status", pointer());
    return value.map(v -> new JsonPaths(v, unit, input, status));
  }

  private static Reader<String> pointer() {
    return Reader.scalar(
        "a JSON Pointer such as /reading/value",
        text ->
            Optional.of(text)
                .filter(t -> t.length() <= LONGEST_POINTER && POINTER.matcher(t).matches()));
  }
}
