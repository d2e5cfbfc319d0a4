package org.borewarden.agent.board;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.borewarden.agent.payload.DecisionCodec;
import org.borewarden.agent.payload.Json;
import org.borewarden.agent.payload.StatePayloads;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.uncertainty.Uncertainty;

/**
 * A state as JSON: the payloads of the state topics, and of each feature what the rules say. So a
 * page and a subscriber read the same.
 *
 * @param agent the agent's id
 * @param names whether people may be named
 */
record StateText(String agent, boolean names) {

  /**
   * A feature, with lengths in whole picometres.
   *
   * @param feature its id
   * @param part its part number
   * @param gauge what measures it
   * @param cell whose permit it may withdraw
   * @param tool what cuts it
   * @param unit in which outputs print it
   * @param nominal the nominal size
   * @param lower the lower limit
   * @param upper the upper limit
   * @param centre what run watches compare with
   * @param expanded U, where an uncertainty is stated
   * @param sampledEvery parts from one measured part to the next
   * @param awaited where its bore under way is measured next
   */
  private record Named(
      String feature,
      String part,
      String gauge,
      Optional<String> cell,
      Optional<String> tool,
      String unit,
      Length nominal,
      Optional<Length> lower,
      Optional<Length> upper,
      Optional<Length> centre,
      Optional<Length> expanded,
      int sampledEvery,
      Optional<String> awaited) {
    static Named of(Feature feature, State state) {
      return new Named(
          feature.id(),
          feature.part(),
          feature.gauge(),
          feature.cell(),
          feature.tool(),
          feature.unit().symbol(),
          feature.nominal(),
          feature.limits().lower(),
          feature.limits().upper(),
          feature.centre(),
          feature.rule().stated().map(Uncertainty::expanded),
          feature.sampledEvery(),
          state.awaited(feature.id()));
    }
  }

  /** The members of one object, without its braces. */
  String of(State state, Instant at, OptionalLong recorded, List<String> refused) {
    List<Feature> features = state.rules().map(RuleSet::features).orElse(List.of());
    return "\"agent\":"
        + Json.write(agent)
        + ",\"rules\":"
        + Json.write(state.rulesRevision())
        + ",\"refused\":"
        + Json.write(refused)
        + ",\"lost\":"
        + Json.write(state.lostPorts())
        + ",\"cells\":"
        + list(state.cellIds().stream().flatMap(cell -> hold(state, cell, at, recorded)).toList())
        + ",\"gauges\":"
        + list(
            state.gauges().values().stream()
                .map(gauge -> StatePayloads.gauge(agent, gauge, at))
                .toList())
        + ",\"features\":"
        + list(features.stream().map(feature -> Json.write(Named.of(feature, state))).toList())
        + ",\"trends\":"
        + list(
            features.stream()
                .flatMap(feature -> state.trend(feature.id()).stream())
                .map(trend -> StatePayloads.trend(agent, trend, at))
                .toList())
        + ",\"alerts\":"
        + list(
            state.alerts().views().stream()
                .map(alert -> DecisionCodec.encode(new Decision.AlertChanged(alert)).body())
                .map(this::mayBeShown)
                .toList());
  }

  private java.util.stream.Stream<String> hold(
      State state, String cell, Instant at, OptionalLong recorded) {
    return state.cellView(cell, at).stream()
        .map(view -> StatePayloads.hold(agent, state.bootId(), view.hold(), recorded))
        .map(this::mayBeShown);
  }

  /** Who did it is told only to those who signed in. */
  String mayBeShown(String json) {
    if (names) {
      return json;
    }
    try {
      ObjectNode shown = (ObjectNode) Runs.JSON.readTree(json);
      if (!shown.path("by").asText().equals("agent")) {
        shown.put("by", "");
      }
      return shown.toString();
    } catch (JsonProcessingException ours) {
      throw new IllegalStateException("a payload of our own is no JSON", ours);
    }
  }

  private static String list(List<String> objects) {
    return "[" + String.join(",", objects) + "]";
  }
}
