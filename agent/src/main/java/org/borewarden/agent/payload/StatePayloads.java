package org.borewarden.agent.payload;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.borewarden.rules.engine.GaugeView;
import org.borewarden.rules.engine.TrendView;
import org.borewarden.rules.engine.TurnView;
import org.borewarden.rules.gauge.TruthView;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.ForecastView;
import org.borewarden.rules.watch.FormView;
import org.borewarden.rules.watch.OffsetView;

/** The retained state topics: only the latest counts. */
public final class StatePayloads {
  private StatePayloads() {}

  /**
   * A cell's hold for {@code hold/<cell>}.
   *
   * @param agent the agent's id
   * @param bootId the boot id that the heartbeat shows
   * @param hold the hold
   * @param seq the seq of its record once that is synced; absent for a raise that goes out first
   * @return JSON
   */
  public static String hold(String agent, int bootId, HoldView hold, OptionalLong seq) {
    return Json.write(
        new HoldState(agent, "heartbeat", bootId, seq.isPresent(), seq, HoldPayload.of(hold)));
  }

  /**
   * A gauge for {@code gauge/<gauge>}.
   *
   * @param agent the agent's id
   * @param gauge the gauge
   * @param at when this was so
   * @return JSON
   */
  public static String gauge(String agent, GaugeView gauge, Instant at) {
    return Json.write(
        new GaugeState(
            agent,
            gauge.gauge(),
            gauge.connected(),
            gauge.detail(),
            gauge.lastReading(),
            gauge.readings(),
            gauge.rejected(),
            gauge.batteryLow(),
            gauge.truth().map(TruthState::of),
            gauge.turn(),
            at));
  }

  /**
   * A feature's chart for {@code trend/<feature>}.
   *
   * @param agent the agent's id
   * @param trend the chart's state
   * @param at when this was so
   * @return JSON
   */
  public static String trend(String agent, TrendView trend, Instant at) {
    return Json.write(
        new TrendState(
            agent,
            trend.feature(),
            trend.bores(),
            trend.segmentBores(),
            trend.lastPart(),
            trend.lastVerdict().key(),
            trend.lastDeviation(),
            trend.runOnOneSide(),
            trend.forecast(),
            trend.capability(),
            trend.capabilityWindow(),
            trend.formCapability().isEmpty()
                ? Optional.empty()
                : Optional.of(trend.formCapability()),
            trend.offset(),
            at));
  }

  /**
   * The agent for {@code agent} while it runs; the last will is the publisher's.
   *
   * @param agent the agent's id
   * @param version the agent's version
   * @param journal the journal's id
   * @param rules the rules revision in force; empty before any
   * @param refused what is wrong with the rules file as it lies there, one line each; empty while
   *     it is the one in force
   * @return JSON
   */
  public static String agent(
      String agent, String version, String journal, String rules, List<String> refused) {
    return Json.write(
        new AgentState(
            agent,
            "online",
            version,
            journal,
            rules,
            refused.isEmpty() ? Optional.empty() : Optional.of(refused)));
  }

  private record HoldState(
      String agent,
      String validWith,
      int boot,
      boolean recorded,
      OptionalLong seq,
      @com.fasterxml.jackson.annotation.JsonUnwrapped HoldPayload hold) {}

  private record GaugeState(
      String agent,
      String gauge,
      boolean connected,
      String detail,
      Optional<Instant> lastSeen,
      long readings,
      long rejected,
      Optional<Boolean> batteryLow,
      Optional<TruthState> truth,
      Optional<TurnView> next,
      Instant at) {}

  private record TruthState(
      String belief,
      Optional<String> ring,
      Optional<Instant> checked,
      Optional<Double> errorMeters,
      boolean checkDue,
      boolean onRing) {
    static TruthState of(TruthView truth) {
      return new TruthState(
          truth.belief().key(),
          truth.ring(),
          truth.checked(),
          truth.error(),
          truth.due(),
          truth.onRing());
    }
  }

  private record TrendState(
      String agent,
      String feature,
      long bores,
      long segmentBores,
      long lastPart,
      String lastVerdict,
      OptionalDouble deviationMeters,
      int runOnOneSide,
      Optional<ForecastView> forecast,
      Optional<CapabilityView> capability,
      Optional<CapabilityView> capabilityWindow,
      Optional<List<FormView>> formCapability,
      Optional<OffsetView> offset,
      Instant at) {}

  private record AgentState(
      String agent,
      String state,
      String version,
      String journal,
      String rules,
      Optional<List<String>> rulesRefused) {}
}
