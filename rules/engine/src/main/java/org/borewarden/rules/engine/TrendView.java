package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.ForecastView;
import org.borewarden.rules.watch.FormView;
import org.borewarden.rules.watch.OffsetView;

/**
 * The state of a feature's chart.
 *
 * @param feature the feature
 * @param bores the bores judged since the rules began to watch it
 * @param segmentBores the bores since the last tool change or offset
 * @param lastPart the part number of the last bore
 * @param lastVerdict its verdict
 * @param lastDeviation metres from nominal
 * @param runOnOneSide successive bores on one side of the centre
 * @param forecast where it goes, where a forecast watch is on
 * @param capability what a capability watch knows, of the stream of the last bore
 * @param capabilityWindow what it knows of the last bores, where the rules ask for a window
 * @param formCapability what is known of the forms that the rules ask for, of that stream
 * @param offset what a tool-offset watch advises, of that stream
 */
public record TrendView(
    String feature,
    long bores,
    long segmentBores,
    long lastPart,
    Verdict lastVerdict,
    OptionalDouble lastDeviation,
    int runOnOneSide,
    Optional<ForecastView> forecast,
    Optional<CapabilityView> capability,
    Optional<CapabilityView> capabilityWindow,
    List<FormView> formCapability,
    Optional<OffsetView> offset) {
  /** Copies the list. */
  public TrendView {
    formCapability = List.copyOf(formCapability);
  }
}
