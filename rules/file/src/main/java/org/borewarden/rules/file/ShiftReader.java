package org.borewarden.rules.file;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.ShiftRules;
import org.borewarden.rules.part.ShiftRules.After;
import org.borewarden.rules.part.ShiftRules.Also;
import org.borewarden.rules.part.ShiftRules.FirstOff;
import org.borewarden.rules.part.ShiftRules.Sampling;
import org.borewarden.rules.part.ShiftRules.SizeClass;

/** Reads what is asked of a feature over a shift: first-offs, sampling, size classes. */
final class ShiftReader {
  /** The widest zone of a first-off. */
  static final Length WIDEST = new Length(10_000_000_000L);

  private static final int MOST_FIRST_OFFS = 20;
  private static final int MOST_CUT = 100;
  private static final int LONGEST_CLASS = 16;
  private static final Duration SHORTEST_TIME = Duration.ofMinutes(1);
  private static final Duration LONGEST_TIME = Duration.ofHours(24);

  private static final Duration SHORTEST_CHALLENGE = Duration.ofHours(1);
  private static final Duration LONGEST_CHALLENGE = Duration.ofDays(31);

  private ShiftReader() {}

  /** Empty where nothing is asked, or something is wrong, which was told. */
  static Optional<ShiftRules> read(
      Fields feature, String id, Optional<Limits> limits, boolean hasCentre) {
    Optional<FirstOff> firstOff =
        feature
            .item("first-off")
            .flatMap(item -> Fields.open(item, RulesKeys.FIRST_OFF))
            .flatMap(ShiftReader::firstOff);
    if (feature.has("first-off") && !hasCentre) {
      feature.refuse("first-off", "expected a centre beside it: with one limit, it must be given");
    }
    Optional<Sampling> sampling =
        feature
            .item("sampling")
            .flatMap(item -> Fields.open(item, RulesKeys.SAMPLING))
            .flatMap(ShiftReader::sampling);
    List<SizeClass> classes =
        feature.orElse(
            "size-classes",
            Lists.of("size classes", 1, ShiftRules.MOST_CLASSES, sizeClass()),
            List.of());
    Optional<Duration> challenge =
        feature.optional(
            "challenge-every", Scalars.duration(SHORTEST_CHALLENGE, LONGEST_CHALLENGE));
    boolean asked =
        firstOff.isPresent() || sampling.isPresent() || !classes.isEmpty() || challenge.isPresent();
    return asked && fit(feature, classes, limits)
        ? Optional.of(new ShiftRules(id, firstOff, sampling, classes, challenge))
        : Optional.empty();
  }

  private static Optional<FirstOff> firstOff(Fields fields) {
    int bores = fields.orElse("bores", Scalars.whole(1, MOST_FIRST_OFFS), 3);
    Optional<Length> zone = fields.required("zone", Sizes.positive(WIDEST, "8 um"));
    int parts = fields.orElse("parts", Scalars.parts(0, MOST_CUT), 0);
    Set<After> after = words(fields, "after", After.values());
    return zone.map(z -> new FirstOff(bores, z, parts, after));
  }

  private static Optional<Sampling> sampling(Fields fields) {
    Optional<Integer> every =
        fields.required("every", Scalars.parts(1, FeatureReader.LONGEST_INTERVAL));
    int late = fields.orElse("late", Scalars.parts(0, FeatureReader.LONGEST_INTERVAL), 0);
    Set<Also> also = fields.has("also") ? words(fields, "also", Also.values()) : Set.of();
    Action action = ActionReader.action(fields, Action.Level.HOLD);
    Optional<Duration> time =
        fields.optional("time", Scalars.duration(SHORTEST_TIME, LONGEST_TIME));
    return every.map(n -> new Sampling(n, late, time, also, action));
  }

  /** All of them where the key does not stand. */
  private static <E extends Enum<E>> Set<E> words(Fields fields, String key, E[] values) {
    List<E> all = Arrays.asList(values);
    return new HashSet<>(
        fields.orElse(
            key, Lists.of("words", 1, all.size(), Scalars.word(all, ActionReader::word)), all));
  }

  private static Reader<SizeClass> sizeClass() {
    return Reader.of(
        "a size class",
        item ->
            Fields.open(item, RulesKeys.SIZE_CLASS)
                .flatMap(
                    fields -> {
                      Optional<String> name = fields.required("name", Scalars.text(LONGEST_CLASS));
                      Optional<Length> to = fields.required("to", Sizes.shown());
                      return name.flatMap(n -> to.map(size -> new SizeClass(n, size)));
                    }));
  }

  private static boolean fit(Fields feature, List<SizeClass> classes, Optional<Limits> limits) {
    List<String> names = new ArrayList<>();
    for (int i = 0; i < classes.size(); i++) {
      Length to = classes.get(i).to();
      boolean grows = i == 0 || classes.get(i - 1).to().isBelow(to);
      if (!grows || names.contains(classes.get(i).name())) {
        feature.refuse(
            "size-classes",
            "expected names of their own, and each class to end above the one before it");
        return false;
      }
      names.add(classes.get(i).name());
    }
    Optional<Length> upper = limits.flatMap(Limits::upper);
    boolean covers =
        classes.isEmpty()
            || upper.isEmpty()
            || !classes.get(classes.size() - 1).to().isBelow(upper.get());
    if (!covers) {
      feature.refuse(
          "size-classes",
          "expected the last class to end at the upper limit or above it, so that every bore"
              + " within has one");
    }
    return covers;
  }

  /** In words, a line each. */
  static List<String> words(ShiftRules rules, Unit unit) {
    List<String> lines = new ArrayList<>();
    rules
        .firstOff()
        .ifPresent(
            rule ->
                lines.add(
                    "  first-off: "
                        + rule.bores()
                        + " bores in a row within "
                        + ShownLength.size(rule.zone(), unit)
                        + " of the centre, else no permit"
                        + (rule.parts() == 0 ? "" : " after " + rule.parts() + " parts")));
    rules
        .sampling()
        .ifPresent(
            rule ->
                lines.add(
                    "  sampling: one in "
                        + rule.every()
                        + " parts by the cell's counter, overdue after "
                        + (rule.every() + rule.late())
                        + rule.time().map(t -> " or " + Scalars.shown(t)).orElse("")
                        + ": "
                        + FeatureWords.does(rule.action())));
    rules
        .challengeEvery()
        .ifPresent(
            time ->
                lines.add(
                    "  a challenge piece is due "
                        + Scalars.shown(time)
                        + " after the last: alert"));
    if (!rules.classes().isEmpty()) {
      List<String> names = rules.classes().stream().map(SizeClass::name).toList();
      lines.add("  size classes: " + String.join(", ", names));
    }
    return lines;
  }
}
