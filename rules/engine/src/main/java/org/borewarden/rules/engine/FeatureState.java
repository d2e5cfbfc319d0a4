package org.borewarden.rules.engine;

import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Streams;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.watch.CapabilityView;
import org.borewarden.rules.watch.FormView;
import org.borewarden.rules.watch.OffsetView;
import org.borewarden.rules.watch.OneSideState;
import org.borewarden.rules.watch.WatchState;
import org.borewarden.rules.watch.Watches;

/**
 * What is remembered of a feature.
 *
 * @param feature the feature as the rules in force name it
 * @param acceptance its limits as judging uses them
 * @param watches the state of each watch in each stream, by its name there
 * @param bores the bores judged
 * @param segmentBores the bores since the last tool change or offset
 * @param lastPart the part number of the last bore; 0 before the first
 * @param lastVerdict its verdict
 * @param lastDeviation metres from nominal
 * @param forecasts where it goes, where a forecast watch is on
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
    Forecasts forecasts,
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
        forecasts,
        lastWithinPart,
        faulted,
        Optional.of(new Last(seq, event, before)));
  }

  /** The same without the way back, so that what is remembered does not grow with every bore. */
  FeatureState withoutLast() {
    return with(feature, acceptance, watches, segmentBores, forecasts);
  }

  /** The state of a watch; one of a stream that was not seen yet is empty. */
  WatchState watch(WatchRule rule) {
    WatchState state = watches.get(rule.id());
    return state == null ? Watches.start(rule) : state;
  }

  /**
   * The watches of the feature as they stand in a stream: each under the stream's name, so that
   * what they find has a key of its own.
   */
  List<WatchRule> watchesOf(String stream) {
    return stream.isEmpty()
        ? feature.watches()
        : feature.watches().stream().map(rule -> rule.named(name(rule, stream))).toList();
  }

  private static String name(WatchRule rule, String stream) {
    return rule.id() + "@" + stream;
  }

  /** The stream of a bore: its own, or the one of all that come after the last kept apart. */
  String stream(PartContext context) {
    String stream = feature.streams().stream(context);
    Set<String> known = streams();
    return known.contains(stream) || known.size() < Streams.MOST ? stream : Streams.OTHERS;
  }

  /** The streams that were seen, by their names. */
  Set<String> streams() {
    Set<String> names = new TreeSet<>();
    for (String watch : watches.keySet()) {
      int at = watch.lastIndexOf('@');
      names.add(at < 0 ? "" : watch.substring(at + 1));
    }
    return names;
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
        forecasts.shown(),
        capability(),
        capabilityWindow(),
        formCapability(),
        offset());
  }

  private Optional<OffsetView> offset() {
    return watchesOf(forecasts.newest()).stream()
        .flatMap(rule -> Watches.offset(rule, watch(rule), feature).stream())
        .findFirst();
  }

  private Optional<CapabilityView> capability() {
    return watchesOf(forecasts.newest()).stream()
        .flatMap(rule -> Watches.capability(rule, watch(rule), feature).stream())
        .findFirst();
  }

  private Optional<CapabilityView> capabilityWindow() {
    return watchesOf(forecasts.newest()).stream()
        .flatMap(rule -> Watches.capabilityWindow(rule, watch(rule), feature).stream())
        .findFirst();
  }

  private List<FormView> formCapability() {
    return watchesOf(forecasts.newest()).stream()
        .flatMap(rule -> Watches.form(rule, watch(rule), feature).stream())
        .toList();
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
        Forecasts.NONE,
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
        next.equals(feature) ? forecasts : Forecasts.NONE);
  }

  FeatureState withWatches(Map<String, WatchState> next) {
    return with(feature, acceptance, new TreeMap<>(next), segmentBores, forecasts);
  }

  FeatureState withForecasts(Forecasts next) {
    return with(feature, acceptance, watches, segmentBores, next);
  }

  FeatureState withNewSegment() {
    return with(feature, acceptance, watches, 0, Forecasts.NONE);
  }

  /** A bore of a part that is none of this run was judged: only a fault is over. */
  FeatureState judgedAside() {
    return new FeatureState(
        feature,
        acceptance,
        watches,
        bores,
        segmentBores,
        lastPart,
        lastVerdict,
        lastDeviation,
        forecasts,
        lastWithinPart,
        false,
        Optional.empty());
  }

  /** A bore without a number: the streams do not see it. */
  FeatureState withAttribute(long part, Verdict verdict) {
    return new FeatureState(
        feature,
        acceptance,
        watches,
        bores,
        segmentBores,
        Math.max(lastPart, part),
        Optional.of(verdict),
        lastDeviation,
        forecasts,
        verdict == Verdict.WITHIN ? OptionalLong.of(part) : lastWithinPart,
        faulted,
        Optional.empty());
  }

  /** A part whose bore was passed over. */
  FeatureState withSkipped(long part) {
    return new FeatureState(
        feature,
        acceptance,
        watches,
        bores,
        segmentBores,
        Math.max(lastPart, part),
        lastVerdict,
        lastDeviation,
        forecasts,
        lastWithinPart,
        faulted,
        last);
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
        forecasts,
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
        forecasts,
        lastWithinPart,
        true,
        Optional.empty());
  }

  private FeatureState with(
      Feature nextFeature,
      Acceptance nextAcceptance,
      NavigableMap<String, WatchState> nextWatches,
      long nextSegmentBores,
      Forecasts nextForecasts) {
    return new FeatureState(
        nextFeature,
        nextAcceptance,
        nextWatches,
        bores,
        nextSegmentBores,
        lastPart,
        lastVerdict,
        lastDeviation,
        nextForecasts,
        lastWithinPart,
        faulted,
        Optional.empty());
  }
}
