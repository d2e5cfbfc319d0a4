package org.borewarden.rules.engine;

import java.util.Collections;
import java.util.NavigableSet;
import java.util.Set;
import java.util.TreeSet;

/**
 * How far a part has come at a gauge that measures its features in sequence.
 *
 * @param at the place in the sequence of the feature whose turn it is
 * @param over whether the part has all its bores: the next one is of the next part
 * @param passed the features that the part needs no more: with a bore, with a verdict without a
 *     number, or passed over
 * @param numbered the features in whose count the part has its number already; these, and what was
 *     begun and not ended
 */
record Round(int at, boolean over, NavigableSet<String> passed, NavigableSet<String> numbered) {
  static final Round FRESH = new Round(0, false, new TreeSet<>(), new TreeSet<>());

  Round {
    passed = Collections.unmodifiableNavigableSet(new TreeSet<>(passed));
    numbered = Collections.unmodifiableNavigableSet(new TreeSet<>(numbered));
  }

  /** The feature has what it gets of this part. */
  Round passed(String feature) {
    return new Round(
        at,
        false,
        with(over ? Set.of() : passed, feature),
        with(over ? Set.of() : numbered, feature));
  }

  private static NavigableSet<String> with(Set<String> features, String feature) {
    NavigableSet<String> more = new TreeSet<>(features);
    more.add(feature);
    return more;
  }

  /** The feature needs a bore still, of the part that was begun. */
  Round lacks(String feature) {
    return new Round(at, over, without(passed, feature), numbered);
  }

  /** The feature needs a bore still, and what it had is as if it had not been. */
  Round takenBack(String feature) {
    return new Round(at, over, without(passed, feature), without(numbered, feature));
  }

  private static NavigableSet<String> without(Set<String> features, String feature) {
    NavigableSet<String> fewer = new TreeSet<>(features);
    fewer.remove(feature);
    return fewer;
  }

  Round to(int place) {
    return new Round(place, false, passed, numbered);
  }

  Round ended() {
    return new Round(0, true, passed, numbered);
  }
}
