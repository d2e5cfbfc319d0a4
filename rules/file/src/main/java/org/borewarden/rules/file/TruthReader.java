package org.borewarden.rules.file;

import java.time.Duration;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Places;
import org.borewarden.rules.file.yaml.Position;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.BeliefCheck;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Head;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RingChecks;
import org.borewarden.rules.part.RingSigns;
import org.borewarden.rules.part.Which;

/** Reads the rings and what is said of the gauges. Used by one thread. */
final class TruthReader {
  /** The most rings and the most gauges of one file. */
  static final int MOST = 200;

  /** The longest number of a certificate. */
  static final int LONGEST_CERTIFICATE = 64;

  /** The most that a gauge's error may be allowed. */
  static final Length LARGEST_ERROR = new Length(1_000_000_000L);

  private static final Duration SHORTEST = Duration.ofMinutes(1);
  private static final Duration LONGEST_SOAK = Duration.ofHours(24);
  private static final Duration LONGEST = Duration.ofDays(31);

  private final List<Ring> rings;
  private final List<GaugeRules> gauges;
  private final Set<String> telling;

  private TruthReader(List<Ring> rings, List<GaugeRules> gauges, Set<String> telling) {
    this.rings = rings;
    this.gauges = gauges;
    this.telling = telling;
  }

  static TruthReader read(Fields file) {
    Unique ringIds = new Unique("id");
    List<Ring> rings =
        file.orElse(
            "rings",
            Lists.of("rings", 1, MOST, Reader.of("a ring", item -> ring(item, ringIds))),
            List.of());
    List<String> known = rings.stream().map(Ring::id).toList();
    Unique gaugeIds = new Unique("id");
    Set<String> telling = new HashSet<>();
    List<GaugeRules> gauges =
        file.orElse(
            "gauges",
            Lists.of(
                "gauges",
                1,
                MOST,
                Reader.of("a gauge", item -> gauge(item, gaugeIds, known, telling))),
            List.of());
    return new TruthReader(rings, gauges, telling);
  }

  List<Ring> rings() {
    return rings;
  }

  List<GaugeRules> gauges() {
    return gauges;
  }

  /** The gauges that tell their features apart otherwise than by an input. */
  Set<String> telling() {
    return telling;
  }

  /** A head must see what a plan asks of it. */
  void refuseUnseen(Item root, List<Feature> features) {
    Map<String, Position> places = Places.of("", root.node()).positions();
    for (int i = 0; i < features.size(); i++) {
      Feature feature = features.get(i);
      Optional<Head> head =
          gauges.stream()
              .filter(gauge -> gauge.id().equals(feature.gauge()))
              .findFirst()
              .flatMap(GaugeRules::head);
      for (FormLimit limit :
          feature
              .measuring()
              .plan()
              .flatMap(p -> p.form())
              .map(FormRules::limits)
              .orElse(List.of())) {
        String path = "features[" + i + "].plan.form." + limit.kind().key();
        head.flatMap(h -> h.cannotSee(limit.kind()))
            .ifPresent(
                why ->
                    root.problems()
                        .add(
                            places.getOrDefault(path, root.node().at()),
                            path,
                            "expected no "
                                + limit.kind().key()
                                + " of gauge "
                                + feature.gauge()
                                + ": "
                                + why));
      }
    }
  }

  private static Optional<Ring> ring(Item item, Unique ids) {
    return Fields.open(item, RulesKeys.RING)
        .flatMap(
            fields -> {
              Optional<String> id = fields.required("id", Scalars.id());
              id.ifPresent(value -> fields.item("id").ifPresent(i -> ids.add(value, i)));
              Optional<Written> size =
                  fields.required(
                      "size", Sizes.size(FeatureReader.SMALLEST, FeatureReader.LARGEST));
              Optional<Length> uncertainty =
                  fields.optional("uncertainty", CertificateReader.uncertainty());
              Optional<String> certificate =
                  fields.optional("certificate", Scalars.text(LONGEST_CERTIFICATE));
              Optional<String> due = fields.optional("calibration-due", Scalars.date());
              return id.flatMap(
                  i -> size.map(s -> new Ring(i, s.length(), uncertainty, certificate, due)));
            });
  }

  private static Optional<GaugeRules> gauge(
      Item item, Unique ids, List<String> rings, Set<String> telling) {
    return Fields.open(item, RulesKeys.GAUGE)
        .flatMap(
            fields -> {
              Optional<String> id = fields.required("id", Scalars.id());
              id.ifPresent(value -> fields.item("id").ifPresent(i -> ids.add(value, i)));
              Optional<Head> head =
                  fields.optional("head", Scalars.word(Arrays.asList(Head.values()), Head::key));
              Optional<Length> from = size(fields, "from");
              Optional<Length> to = size(fields, "to");
              if (from.isPresent() && to.isPresent() && !from.get().isBelow(to.get())) {
                return fields.refuse("from", "expected less than to");
              }
              Optional<Length> resolution =
                  fields.optional("resolution", Sizes.positive(LARGEST_ERROR, "1 um"));
              Optional<Length> repeatability =
                  fields.optional("repeatability", Sizes.positive(LARGEST_ERROR, "0.6 um"));
              Optional<String> due = fields.optional("calibration-due", Scalars.date());
              Optional<RingChecks> checks =
                  fields
                      .item("ring-check")
                      .flatMap(i -> Fields.open(i, RulesKeys.RING_CHECK))
                      .flatMap(f -> checks(f, rings));
              boolean range = from.isPresent() || to.isPresent();
              List<BeliefCheck> believe =
                  fields
                      .item("believe")
                      .flatMap(i -> Fields.open(i, RulesKeys.BELIEVE))
                      .map(f -> BeliefReader.read(f, range))
                      .orElse(List.of());
              Optional<Which> which = fields.optional("which", WhichReader.which());
              Optional<Duration> soak =
                  fields.optional("soak", Scalars.duration(SHORTEST, LONGEST_SOAK));
              if (fields.has("which")) {
                id.ifPresent(telling::add);
              }
              return id.map(
                  i ->
                      new GaugeRules(
                          i,
                          head,
                          from,
                          to,
                          resolution,
                          repeatability,
                          checks,
                          due,
                          believe,
                          which,
                          soak));
            });
  }

  private static Optional<Length> size(Fields fields, String key) {
    return fields
        .optional(key, Sizes.size(FeatureReader.SMALLEST, FeatureReader.LARGEST))
        .map(Written::length);
  }

  private static Optional<RingChecks> checks(Fields fields, List<String> rings) {
    Optional<String> ring = fields.required("ring", Scalars.id());
    if (ring.isPresent() && !rings.contains(ring.get())) {
      return fields.refuse(
          "ring",
          "expected a ring of this file ("
              + (rings.isEmpty() ? "it has none" : String.join(", ", rings))
              + "), found "
              + ring.get());
    }
    Optional<Length> limit = fields.required("error-limit", Sizes.positive(LARGEST_ERROR, "2 um"));
    int readings = fields.orElse("readings", Scalars.whole(1, RingChecks.MOST_READINGS), 3);
    Optional<Integer> bores = fields.optional("every-bores", Scalars.whole(1, 100_000));
    Optional<Duration> every = fields.optional("every", Scalars.duration(SHORTEST, LONGEST));
    int good = fields.orElse("good", Scalars.whole(1, 9), 2);
    int of = fields.orElse("of", Scalars.whole(1, 9), Math.max(3, good));
    Optional<RingSigns> signs = SignsReader.read(fields, limit);
    if (signs.isEmpty()) {
      return Optional.empty();
    }
    if (good > of) {
      return fields.refuse("good", "expected at most of, which is " + of);
    }
    return ring.flatMap(
        r ->
            limit.map(
                l ->
                    new RingChecks(
                        r,
                        l,
                        readings,
                        bores.map(OptionalInt::of).orElse(OptionalInt.empty()),
                        every,
                        good,
                        of,
                        signs.get())));
  }
}
