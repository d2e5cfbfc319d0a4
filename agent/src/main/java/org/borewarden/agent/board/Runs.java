package org.borewarden.agent.board;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.cfg.JsonNodeFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.borewarden.agent.journal.Entry;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;

/**
 * The runs of all features, from the entries of the journal. Written by the board's thread, read by
 * those of its viewers.
 */
final class Runs {
  /** Exact, so that 62.010 keeps its last digit. */
  static final ObjectMapper JSON =
      JsonMapper.builder()
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build();

  private static final JsonNodeFactory NODES = JsonNodeFactory.instance;

  private final boolean names;
  private final Map<String, Run> runs = new TreeMap<>();
  private Map<String, List<String>> ofCell = Map.of();
  private Map<String, String> toolOf = Map.of();
  private long upTo;

  /** Runs that say who entered a bore, or do not. */
  Runs(boolean names) {
    this.names = names;
  }

  /** Which features a cell has, and with which tool each is cut; others are forgotten. */
  synchronized void know(State state) {
    List<Feature> features = state.rules().map(RuleSet::features).orElse(List.of());
    Map<String, List<String>> cells = new HashMap<>();
    Map<String, String> tools = new HashMap<>();
    for (Feature feature : features) {
      String cell = feature.cell().orElse("");
      cells.computeIfAbsent(cell, c -> new java.util.ArrayList<>()).add(feature.id());
      feature.tool().ifPresent(tool -> tools.put(feature.id(), tool));
    }
    ofCell = cells;
    toolOf = tools;
    if (!features.isEmpty()) {
      runs.keySet().retainAll(features.stream().map(Feature::id).toList());
    }
  }

  /** Takes what an entry says; most say nothing here. */
  synchronized void take(Entry entry) {
    upTo = entry.seq();
    switch (entry.kind()) {
      case "bore-judged", "attribute-judged" -> bore(entry, body(entry));
      case "bore-discarded" -> {
        JsonNode body = body(entry);
        run(body.path("feature").asText()).takenBack(body.path("revised").asLong(), entry.seq());
      }
      case "found" -> found(entry, body(entry));
      case "command-given" -> ordered(entry, body(entry).path("command").path("order"));
      default -> {
        // It belongs to no feature's run.
      }
    }
  }

  private Run run(String feature) {
    return runs.computeIfAbsent(feature, f -> new Run());
  }

  private void bore(Entry entry, JsonNode body) {
    ObjectNode row = row(entry);
    row.set("pm", body.path("pm").isNumber() ? body.path("pm") : NODES.nullNode());
    copy(body, row, "verdict", "also", "part", "conformity", "unit");
    if (body.path("value").isNumber()) {
      row.put("digits", Math.max(0, body.path("value").decimalValue().scale()));
    }
    copy(body, row, "disposition", "found", "why");
    if (names) {
      copy(body, row, "by");
    }
    copy(body, row, "accept_lower", "accept_upper");
    copy(body.path("proof"), row, "expanded", "k");
    copy(body.path("context"), row, "serial", "tool", "spindle");
    if (body.path("cautions") instanceof ArrayNode cautions && !cautions.isEmpty()) {
      row.set("cautions", cautions);
    }
    run(body.path("feature").asText()).bore(entry.seq(), row.toString());
  }

  private void found(Entry entry, JsonNode body) {
    ObjectNode row = row(entry);
    row.put("kind", "finding");
    copy(body, row, "reason", "level", "parts_left", "would_have_held", "words");
    run(body.path("feature").asText()).mark(entry.seq(), row.toString());
  }

  private void ordered(Entry entry, JsonNode order) {
    String kind = order.path("order").asText();
    if (!kind.equals("tool-changed") && !kind.equals("offset")) {
      return;
    }
    ObjectNode row = row(entry);
    row.put("kind", kind);
    copy(order, row, "tool", "diameter");
    String tool = order.path("tool").asText("");
    for (String feature : ofCell.getOrDefault(order.path("cell").asText(), List.of())) {
      String own = toolOf.getOrDefault(feature, "");
      if (tool.isEmpty() || own.isEmpty() || own.equals(tool)) {
        run(feature).mark(entry.seq(), row.toString());
      }
    }
  }

  private static ObjectNode row(Entry entry) {
    return NODES.objectNode().put("seq", entry.seq()).put("at", entry.at().toEpochMilli());
  }

  private static void copy(JsonNode from, ObjectNode to, String... names) {
    for (String name : names) {
      JsonNode value = from.path(name);
      if (!value.isMissingNode() && !value.isNull()) {
        to.set(name, value);
      }
    }
  }

  private static JsonNode body(Entry entry) {
    try {
      return JSON.readTree(entry.body());
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("journal entry " + entry.seq() + " is no JSON", e);
    }
  }

  /**
   * What a viewer lacks.
   *
   * @param upTo the entry up to which he then has all
   * @param json an object of runs by feature
   */
  record Part(long upTo, String json) {}

  /** All that changed behind an entry, as far as it is kept. */
  synchronized Part since(long seq) {
    StringBuilder json = new StringBuilder("{");
    if (seq < upTo) {
      for (Map.Entry<String, Run> run : runs.entrySet()) {
        String part = run.getValue().since(seq);
        if (!part.isEmpty()) {
          json.append(json.length() == 1 ? "\"" : ",\"").append(run.getKey()).append("\":");
          json.append(part);
        }
      }
    }
    return new Part(upTo, json.append('}').toString());
  }
}
