package org.borewarden.rules.part;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.reading.Reading;

/**
 * What a rules file says, valid by construction.
 *
 * @param revision names the text: the first 12 hex digits of its SHA-256
 * @param features the features, in the file's order
 * @param rings the setting rings
 * @param gauges what is said of the gauges; a gauge of which nothing is said is believed as it is
 * @param pools the streams that several features share
 * @param shifts what is asked of features over a shift
 */
public record RuleSet(
    String revision,
    List<Feature> features,
    List<Ring> rings,
    List<GaugeRules> gauges,
    List<Pool> pools,
    List<ShiftRules> shifts) {
  /**
   * Copies the lists and checks that ids and numbers are unique and that rings and the features of
   * pools are there.
   *
   * @throws IllegalArgumentException when two features share an id or a number, two rings, gauges
   *     or pools an id, a gauge is checked on a ring that is not there, a pool has a feature that
   *     is not there or has no centre, or a reading could be of two features
   */
  public RuleSet {
    pools = List.copyOf(pools);
    shifts = List.copyOf(shifts);
    features = List.copyOf(features);
    rings = List.copyOf(rings);
    gauges = List.copyOf(gauges);
    Check.unique("ring", rings.stream().map(Ring::id).toList());
    Check.unique("gauge", gauges.stream().map(GaugeRules::id).toList());
    List<String> known = rings.stream().map(Ring::id).toList();
    gauges.stream()
        .flatMap(gauge -> gauge.checks().stream())
        .filter(checks -> !known.contains(checks.ring()))
        .findFirst()
        .ifPresent(
            checks -> {
              throw new IllegalArgumentException("no such ring: " + checks.ring());
            });
    Check.unique("feature", features.stream().map(Feature::id).toList());
    refuseUnclear(features, gauges, rings);
    Check.unique("feature number", features.stream().map(Feature::number).toList());
    Check.unique("shift rules", shifts.stream().map(ShiftRules::feature).toList());
    Check.unique("pool", pools.stream().map(Pool::id).toList());
    List<String> centred =
        features.stream().filter(f -> f.centre().isPresent()).map(Feature::id).toList();
    pools.stream()
        .flatMap(pool -> pool.members().stream())
        .filter(member -> !centred.contains(member.feature()))
        .findFirst()
        .ifPresent(
            member -> {
              throw new IllegalArgumentException(
                  "no such feature with a centre: " + member.feature());
            });
  }

  private static void refuseTakenForRing(
      List<Feature> features, GaugeRules gauge, List<Ring> rings) {
    Optional<RingChecks> checks = gauge.checks();
    Optional<Ring> ring =
        checks.flatMap(c -> rings.stream().filter(r -> r.id().equals(c.ring())).findFirst());
    for (Feature feature : features) {
      boolean taken =
          feature.gauge().equals(gauge.id())
              && ring.isPresent()
              && checks
                  .flatMap(c -> c.signs().near())
                  .filter(near -> near.mayBeTakenFor(feature, ring.get().size()))
                  .isPresent();
      if (taken) {
        throw new IllegalArgumentException(
            "a bore of " + feature.id() + " could be taken for the ring of " + gauge.id());
      }
    }
  }

  private static void refuseUnclear(
      List<Feature> features, List<GaugeRules> gauges, List<Ring> rings) {
    for (Which.Unclear unclear : Which.unclear(features, gauges)) {
      throw new IllegalArgumentException(
          features.get(unclear.feature()).id() + ": " + unclear.expected());
    }
    for (GaugeRules gauge : gauges) {
      refuseTakenForRing(features, gauge, rings);
      for (String stranger : Which.strangers(features, gauge)) {
        throw new IllegalArgumentException(gauge.id() + " does not measure " + stranger);
      }
    }
  }

  /**
   * Rules that ask nothing over a shift.
   *
   * @param revision names the text
   * @param features the features
   * @param rings the setting rings
   * @param gauges what is said of the gauges
   * @param pools the streams that several features share
   */
  public RuleSet(
      String revision,
      List<Feature> features,
      List<Ring> rings,
      List<GaugeRules> gauges,
      List<Pool> pools) {
    this(revision, features, rings, gauges, pools, List.of());
  }

  /**
   * Rules without pools.
   *
   * @param revision names the text
   * @param features the features
   * @param rings the setting rings
   * @param gauges what is said of the gauges
   */
  public RuleSet(
      String revision, List<Feature> features, List<Ring> rings, List<GaugeRules> gauges) {
    this(revision, features, rings, gauges, List.of());
  }

  /**
   * Rules that say nothing of rings and gauges.
   *
   * @param revision names the text
   * @param features the features
   */
  public RuleSet(String revision, List<Feature> features) {
    this(revision, features, List.of(), List.of());
  }

  /**
   * The same rules with other features.
   *
   * @param others the features
   * @return rules that differ in their features only
   */
  public RuleSet withFeatures(List<Feature> others) {
    return new RuleSet(revision, others, rings, gauges, pools, shifts);
  }

  /**
   * What is said of a gauge.
   *
   * @param id its id
   * @return empty where nothing is
   */
  public Optional<GaugeRules> gauge(String id) {
    return gauges.stream().filter(gauge -> gauge.id().equals(id)).findFirst();
  }

  /**
   * What is asked of a feature over a shift.
   *
   * @param feature its id
   * @return empty where nothing is
   */
  public Optional<ShiftRules> shift(String feature) {
    return shifts.stream().filter(rules -> rules.feature().equals(feature)).findFirst();
  }

  /**
   * A ring.
   *
   * @param id its id
   * @return empty where there is none of that id
   */
  public Optional<Ring> ring(String id) {
    return rings.stream().filter(ring -> ring.id().equals(id)).findFirst();
  }

  /**
   * The feature of which a reading is, by its gauge, its input and its size.
   *
   * @param reading the reading
   * @return the feature, or empty where the reading has no known feature or its gauge goes by a
   *     sequence
   */
  public Optional<Feature> measuredBy(Reading reading) {
    Optional<Which> which = gauge(reading.gauge()).flatMap(GaugeRules::which);
    return features.stream()
        .filter(f -> f.gauge().equals(reading.gauge()) && Which.takes(which, f, reading))
        .findFirst();
  }
}
