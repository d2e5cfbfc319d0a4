package org.borewarden.rules.engine;

import java.util.Collections;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.TreeMap;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.watch.ForecastView;
import org.borewarden.rules.watch.OneSideState;
import org.borewarden.rules.watch.WatchState;

/**
 * What is remembered of a feature.
 *
 * @param feature the feature as the rules in force name it
 * @param acceptance its limits as judging uses them
 * @param watches the state of each watch, by its id
 * @param bores the bores judged
 * @param segmentBores the bores since the last tool change or offset
 * @param lastPart the part number of the last bore; 0 before the first
 * @param lastVerdict its verdict
 * @param lastDeviation metres from nominal
 * @param forecast where it goes, where a forecast watch is on
 * @param lastWithinPart the part number of the last bore that was within
 * @param faulted whether a fault of our own keeps it from being judged
 * @param last the last bore, so that it can be taken back
 */
record FeatureState(
    Feature feature,
    Acceptance acceptance,
    NavigableMap<String, WatchState> watches,
    long bores,
    long segmentBores,
    long lastPart,
    Optional<Verdict> lastVerdict,
    OptionalDouble lastDeviation,
    Optional<ForecastView> forecast,
    OptionalLong lastWithinPart,
    boolean faulted,
    Optional<Last> last) {
  FeatureState {
    watches = Collections.unmodifiableNavigableMap(new TreeMap<>(watches));
  }

  /**
   * A bore that can be taken back.
   *
   * @param seq the seq of its verdict
   * @param event the seq of the event that completed it
   * @param before what was remembered before it
   */
  record Last(long seq, long event, FeatureState before) {}

  FeatureState withLast(long seq, long event, FeatureState before) {
    return new FeatureState(
        feature,
        acceptance,
        watches,
        bores,
        segmentBores,
        lastPart,
        lastVerdict,
        lastDeviation,
        forecast,
        lastWithinPart,
        faulted,
        Optional.of(new Last(seq, event, before)));
  }

  /** The same without the way back, so that what is remembered does not grow with every bore. */
  FeatureState withoutLast() {
    return with(feature, acceptance, watches, segmentBores, forecast);
  }

  /** The state of a watch of this feature's rules. */
  WatchState watch(String id) {
    WatchState state = watches.get(id);
    if (state == null) {
      throw new IllegalStateException("no state of watch " + id + " of " + feature.id());
    }
    return state;
  }

  TrendView view() {
    int run =
        watches.values().stream()
            .filter(OneSideState.class::isInstance)
            .map(OneSideState.class::cast)
            .mapToInt(OneSideState::run)
            .max()
            .orElse(0);
    return new TrendView(
        feature.id(),
        bores,
        segmentBores,
        lastPart,
        lastVerdict.orElse(Verdict.WITHHELD),
        lastDeviation,
        run,
        forecast);
  }

  static FeatureState fresh(
      Feature feature, Acceptance acceptance, NavigableMap<String, WatchState> watches) {
    return new FeatureState(
        feature,
        acceptance,
        watches,
        0,
        0,
        0,
        Optional.empty(),
        OptionalDouble.empty(),
        Optional.empty(),
        OptionalLong.empty(),
        false,
        Optional.empty());
  }

  /** The same bores under new rules; a forecast by other rules is none. */
  FeatureState withRules(
      Feature next, Acceptance nextAcceptance, NavigableMap<String, WatchState> nextWatches) {
    return with(
        next,
        nextAcceptance,
        nextWatches,
        segmentBores,
        next.equals(feature) ? forecast : Optional.empty());
  }

  FeatureState withWatches(Map<String, WatchState> next) {
    return with(feature, acceptance, new TreeMap<>(next), segmentBores, forecast);
  }

  FeatureState withForecast(Optional<ForecastView> next) {
    return with(feature, acceptance, watches, segmentBores, next);
  }

  FeatureState withNewSegment() {
    return with(feature, acceptance, watches, 0, Optional.empty());
  }

  /** A bore that may not be believed moves no chart. */
  FeatureState withWithheld(long part) {
    return new FeatureState(
        feature,
        acceptance,
        watches,
        bores,
        segmentBores,
        Math.max(lastPart, part),
        Optional.of(Verdict.WITHHELD),
        lastDeviation,
        forecast,
        lastWithinPart,
        false,
        Optional.empty());
  }

  FeatureState withFault() {
    return new FeatureState(
        feature,
        acceptance,
        watches,
        bores,
        segmentBores,
        lastPart,
        lastVerdict,
        lastDeviation,
        forecast,
        lastWithinPart,
        true,
        Optional.empty());
  }

  private FeatureState with(
      Feature nextFeature,
      Acceptance nextAcceptance,
      NavigableMap<String, WatchState> nextWatches,
      long nextSegmentBores,
      Optional<ForecastView> nextForecast) {
    return new FeatureState(
        nextFeature,
        nextAcceptance,
        nextWatches,
        bores,
        nextSegmentBores,
        lastPart,
        lastVerdict,
        lastDeviation,
        nextForecast,
        lastWithinPart,
        faulted,
        Optional.empty());
  }
}
