package org.borewarden.rules.file;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Places;
import org.borewarden.rules.file.yaml.Position;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RingChecks;
import org.borewarden.rules.part.RingSigns;

/** Reads by what a gauge says that its ring is on it, and refuses what could be a bore as well. */
final class SignsReader {
  /** The longest status that a frame's pattern can give. */
  static final int LONGEST_STATUS = 16;

  /** How far about a ring's size a reading can be of the ring at most. */
  static final Length WIDEST = new Length(1_000_000_000L);

  /** How far from the features it can have to lie at most. */
  static final Length FARTHEST = new Length(100_000_000_000L);

  private SignsReader() {}

  static Optional<RingSigns> read(Fields check, Optional<Length> errorLimit) {
    Optional<RingSigns.Mark> told = check.optional("told-by", mark());
    Optional<RingSigns.Mark> mastered = check.optional("mastered-by", mark());
    if (told.isPresent() && mastered.isPresent() && mastered.get().isOnAllOf(told.get())) {
      return check.refuse("mastered-by", "expected a mark that not each reading with told-by has");
    }
    Optional<RingSigns.Near> near = check.optional("by-size", near());
    if (near.isPresent()
        && errorLimit.isPresent()
        && !near.get().within().isAbove(errorLimit.get())) {
      return check.refuse(
          "by-size",
          "expected within above the error limit of "
              + ShownLength.size(errorLimit.get(), Unit.MILLIMETRE)
              + ", so that a check can fail");
    }
    return Optional.of(new RingSigns(told, mastered, near));
  }

  private static Reader<RingSigns.Mark> mark() {
    return Reader.of(
        "a mapping with input or status",
        item ->
            Fields.open(item, RulesKeys.MARK)
                .flatMap(
                    fields -> {
                      Optional<String> input =
                          fields.optional("input", Scalars.text(FeatureReader.LONGEST_INPUT));
                      Optional<String> status =
                          fields.optional("status", Scalars.text(LONGEST_STATUS));
                      if (!fields.has("input") && !fields.has("status")) {
                        return fields.missing("input", "an input or a status");
                      }
                      return input.isEmpty() && status.isEmpty()
                          ? Optional.empty()
                          : Optional.of(new RingSigns.Mark(input, status));
                    }));
  }

  private static Reader<RingSigns.Near> near() {
    return Reader.of(
        "a mapping with within and clear",
        item ->
            Fields.open(item, RulesKeys.BY_SIZE)
                .flatMap(
                    fields -> {
                      Optional<Length> within =
                          fields.required("within", Sizes.positive(WIDEST, "20 um"));
                      Optional<Length> clear =
                          fields.required("clear", Sizes.positive(FARTHEST, "0.5 mm"));
                      return within.flatMap(w -> clear.map(c -> new RingSigns.Near(w, c)));
                    }));
  }

  /** Called when features and gauges are whole. */
  static void refuseUnclear(
      Item root, List<Feature> features, List<GaugeRules> gauges, List<Ring> rings) {
    Map<String, Position> places = Places.of("", root.node()).positions();
    for (int i = 0; i < gauges.size(); i++) {
      GaugeRules gauge = gauges.get(i);
      Optional<RingChecks> checks = gauge.checks();
      Optional<Ring> ring =
          checks.flatMap(c -> rings.stream().filter(r -> r.id().equals(c.ring())).findFirst());
      if (checks.isEmpty() || ring.isEmpty()) {
        continue;
      }
      String path = "gauges[" + i + "].ring-check.";
      RingSigns signs = checks.get().signs();
      for (Feature feature : features) {
        if (!feature.gauge().equals(gauge.id())) {
          continue;
        }
        inputTaken(signs.check(), feature)
            .ifPresent(why -> add(root, places, path + "told-by", why));
        inputTaken(signs.mastered(), feature)
            .ifPresent(why -> add(root, places, path + "mastered-by", why));
        if (signs.near().filter(n -> n.mayBeTakenFor(feature, ring.get().size())).isPresent()) {
          add(
              root,
              places,
              path + "by-size",
              "expected a ring whose size lies clear of "
                  + feature.id()
                  + ", whose bores could be taken for it");
        }
      }
    }
  }

  private static Optional<String> inputTaken(Optional<RingSigns.Mark> mark, Feature feature) {
    Stream<String> inputs =
        Stream.concat(
            feature.input().stream(),
            feature.measuring().plan().map(Plan::places).orElse(List.of()).stream()
                .map(Place::input)
                .flatMap(Optional::stream));
    return mark.filter(m -> m.status().isEmpty())
        .flatMap(RingSigns.Mark::input)
        .filter(input -> inputs.anyMatch(input::equals))
        .map(
            input ->
                "expected an input of its own, found "
                    + input
                    + ", which "
                    + feature.id()
                    + " has");
  }

  private static void add(Item root, Map<String, Position> places, String path, String message) {
    root.problems().add(places.getOrDefault(path, root.node().at()), path, message);
  }
}
