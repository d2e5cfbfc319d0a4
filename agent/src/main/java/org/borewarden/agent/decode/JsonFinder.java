package org.borewarden.agent.decode;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonPointer;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.cfg.JsonNodeFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.JsonPaths;

/**
 * Finds the value of a JSON frame by JSON Pointers (RFC 6901). Numbers keep the digits that were
 * written: {@code 62.010} has three decimals.
 */
final class JsonFinder implements FieldFinder {
  /** A gateway wraps a value a few levels deep; what is deeper is no reading. */
  private static final int DEEPEST = 16;

  private static final ObjectMapper MAPPER =
      JsonMapper.builder(
              JsonFactory.builder()
                  .streamReadConstraints(
                      StreamReadConstraints.builder().maxNestingDepth(DEEPEST).build())
                  .build())
          .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build();

  private final JsonPointer value;
  private final Optional<JsonPointer> unit;
  private final Optional<JsonPointer> input;
  private final Optional<JsonPointer> status;

  JsonFinder(JsonPaths paths) {
    this.value = JsonPointer.compile(paths.value());
    this.unit = paths.unit().map(JsonPointer::compile);
    this.input = paths.input().map(JsonPointer::compile);
    this.status = paths.status().map(JsonPointer::compile);
  }

  @Override
  public Fields find(String frame) {
    JsonNode tree;
    try {
      tree = MAPPER.readTree(frame.getBytes(StandardCharsets.ISO_8859_1));
    } catch (JsonProcessingException wrong) {
      int offset =
          (int) Math.max(0, wrong.getLocation() == null ? 0 : wrong.getLocation().getByteOffset());
      return new Fields.None(
          Refusal.NOT_JSON, "expected JSON, found " + Excerpt.quoted(frame), offset);
    } catch (IOException unread) {
      throw new IllegalStateException("bytes in memory could not be read", unread);
    }
    JsonNode node = tree.at(value);
    if (!node.isNumber() && !node.isTextual()) {
      String found = node.isMissingNode() ? "nothing" : node.getNodeType().name();
      return new Fields.None(
          Refusal.NO_MATCH, "expected a number or a text at " + value + ", found " + found, 0);
    }
    return new Fields.Values(
        List.of(
            new Found(
                node.isNumber() ? node.decimalValue().toPlainString() : node.textValue(),
                0,
                node.isNumber(),
                Optional.empty(),
                text(tree, unit),
                text(tree, input),
                text(tree, status))));
  }

  private static Optional<Found.Part> text(JsonNode tree, Optional<JsonPointer> pointer) {
    return pointer
        .map(tree::at)
        .filter(JsonNode::isValueNode)
        .map(node -> node.asText("").strip())
        .filter(text -> !text.isEmpty())
        .map(text -> new Found.Part(text, 0));
  }
}
