package org.borewarden.rules.engine;

import java.util.Collections;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.watch.PoolState;

/**
 * What is remembered between readings.
 *
 * @param open the bores that wait for readings, by feature
 * @param tallies what is counted of features that are confirmed or were withheld, by feature
 * @param truths what is known of the gauges that are checked on a ring, by gauge
 * @param pools what is remembered of the streams that features share, by pool
 * @param shifts what is remembered of the features over a shift, by feature
 * @param rounds how far a part has come at the gauges that measure in sequence, by gauge
 * @param last the last reading of gauges whose key may bounce, by gauge and input
 */
record MeasuringState(
    NavigableMap<String, OpenBore> open,
    NavigableMap<String, Tally> tallies,
    NavigableMap<String, GaugeTruth> truths,
    NavigableMap<String, PoolState> pools,
    NavigableMap<String, ShiftState> shifts,
    NavigableMap<String, Round> rounds,
    NavigableMap<String, LastReading> last) {
  static final MeasuringState NONE =
      new MeasuringState(
          new TreeMap<>(),
          new TreeMap<>(),
          new TreeMap<>(),
          new TreeMap<>(),
          new TreeMap<>(),
          new TreeMap<>(),
          new TreeMap<>());

  MeasuringState {
    open = Collections.unmodifiableNavigableMap(new TreeMap<>(open));
    tallies = Collections.unmodifiableNavigableMap(new TreeMap<>(tallies));
    pools = Collections.unmodifiableNavigableMap(new TreeMap<>(pools));
    shifts = Collections.unmodifiableNavigableMap(new TreeMap<>(shifts));
    rounds = Collections.unmodifiableNavigableMap(new TreeMap<>(rounds));
    last = Collections.unmodifiableNavigableMap(new TreeMap<>(last));
    truths = Collections.unmodifiableNavigableMap(new TreeMap<>(truths));
  }
}
