package org.borewarden.rules.file;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Action.Level;
import org.borewarden.rules.part.Confirmation;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Follow;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.SizeRule;

/** Reads how the readings of a feature become a bore: its plan and its confirmation. */
final class PlanReader {
  /** The largest form, span or gross distance. */
  static final Length LARGEST = new Length(10_000_000_000L);

  /** The most depths and the most angles. */
  static final int MOST = 12;

  private static final Duration SHORTEST = Duration.ofSeconds(1);
  private static final Duration LONGEST = Duration.ofHours(1);
  private static final Duration USUAL_PLAN_TIME = Duration.ofMinutes(2);
  private static final Duration USUAL_CONFIRM_TIME = Duration.ofMinutes(1);

  private PlanReader() {}

  static Measuring read(Fields feature, Optional<DecisionRule> rule) {
    Optional<Plan> plan =
        feature
            .item("plan")
            .flatMap(item -> Fields.open(item, RulesKeys.PLAN))
            .flatMap(fields -> plan(feature, fields, rule));
    Optional<Confirmation> confirmation =
        feature
            .item("confirm")
            .flatMap(item -> Fields.open(item, RulesKeys.CONFIRM))
            .flatMap(PlanReader::confirmation);
    if (confirmation.isPresent() && plan.filter(p -> p.size() != SizeRule.EVERY).isPresent()) {
      feature.refuse(
          "confirm",
          "expected no confirm where the size is not every: one reading over a limit is not yet"
              + " a bore over it");
      return new Measuring(plan, Optional.empty());
    }
    return new Measuring(plan, confirmation);
  }

  private static Optional<Plan> plan(Fields feature, Fields fields, Optional<DecisionRule> rule) {
    List<String> depths =
        fields.orElse(
            "depths",
            Lists.of("depths", 1, MOST, Scalars.text(Place.LONGEST_DEPTH)),
            List.of("mid"));
    List<Integer> angles =
        fields.orElse("angles", Lists.of("angles", 1, MOST, Scalars.whole(0, 179)), List.of(0));
    Optional<List<String>> inputs =
        fields.optional(
            "inputs",
            Lists.of("inputs", 1, Plan.MOST_PLACES, Scalars.text(FeatureReader.LONGEST_INPUT)));
    SizeRule size =
        fields.orElse(
            "size", Scalars.word(Arrays.asList(SizeRule.values()), SizeRule::key), SizeRule.EVERY);
    Follow follow =
        fields.orElse(
            "follow", Scalars.word(Arrays.asList(Follow.values()), Follow::key), Follow.SMALLEST);
    if (fields.has("follow") && size != SizeRule.EVERY) {
      fields.refuse("follow", "expected no follow where size is " + size.key());
    }
    Duration time = fields.orElse("time", Scalars.duration(SHORTEST, LONGEST), USUAL_PLAN_TIME);
    Optional<List<Place>> places = places(feature, fields, depths, angles, inputs);
    Optional<FormRules> form =
        fields
            .item("form")
            .flatMap(item -> Fields.open(item, RulesKeys.FORM))
            .flatMap(f -> form(f, places.orElse(List.of()), rule));
    boolean formRead = form.isPresent() || !fields.has("form");
    return places.filter(p -> formRead).map(p -> new Plan(p, size, follow, time, form));
  }

  private static Optional<List<Place>> places(
      Fields feature,
      Fields fields,
      List<String> depths,
      List<Integer> angles,
      Optional<List<String>> inputs) {
    int count = depths.size() * angles.size();
    if (count == 0) {
      return Optional.empty(); // none could be read, which was told
    }
    if (depths.stream().distinct().count() < depths.size()) {
      return fields.refuse("depths", "expected each depth once");
    }
    if (depths.stream().anyMatch(depth -> depth.chars().anyMatch(c -> "/+#".indexOf(c) >= 0))) {
      return fields.refuse("depths", "expected names without / + #");
    }
    if (angles.stream().distinct().count() < angles.size()) {
      return fields.refuse("angles", "expected each angle once");
    }
    if (inputs.isPresent()) {
      List<String> given = inputs.get();
      if (given.size() != count || given.stream().distinct().count() < given.size()) {
        return fields.refuse(
            "inputs", "expected an input of its own for each of the " + count + " places");
      }
      if (feature.has("input")) {
        return fields.refuse("inputs", "expected no inputs where the feature has one input");
      }
    }
    List<Place> places = new ArrayList<>();
    for (String depth : depths) {
      for (int angle : angles) {
        int at = places.size();
        places.add(new Place(depth, angle, inputs.map(given -> given.get(at))));
      }
    }
    return Optional.of(List.copyOf(places));
  }

  private static Optional<FormRules> form(
      Fields fields, List<Place> places, Optional<DecisionRule> rule) {
    List<FormLimit> limits = new ArrayList<>();
    for (FormKind kind : FormKind.values()) {
      Optional<Length> most = fields.optional(kind.key(), Sizes.positive(LARGEST, "8 um"));
      most.ifPresent(
          length -> {
            Optional<String> lacks = places.isEmpty() ? Optional.empty() : Plan.lacks(places, kind);
            if (lacks.isPresent()) {
              fields.refuse(kind.key(), "expected a plan with " + lacks.get());
            } else {
              limits.add(new FormLimit(kind, length));
            }
          });
    }
    Optional<Length> repeatability =
        fields.optional("repeatability", Sizes.positive(UncertaintyReader.LARGEST, "0.6 um"));
    double usual =
        rule.filter(DecisionRule.Proven.class::isInstance)
            .map(r -> ((DecisionRule.Proven) r).probability())
            .orElse(DecisionReader.USUAL_PROBABILITY);
    double probability = fields.orElse("at", Scalars.percent("50.1", "99.99"), usual);
    boolean named = Arrays.stream(FormKind.values()).map(FormKind::key).anyMatch(fields::has);
    if (limits.isEmpty()) {
      return named || fields.hasUnknown()
          ? Optional.empty()
          : fields.self().refuse("expected a limit of form, such as ovality, found none");
    }
    return Optional.of(
        new FormRules(
            limits, repeatability, probability, ActionReader.action(fields, Level.ALERT)));
  }

  private static Optional<Confirmation> confirmation(Fields fields) {
    int readings = fields.orElse("readings", Scalars.whole(2, Confirmation.MOST_READINGS), 3);
    Optional<Length> span = fields.required("span", Sizes.positive(LARGEST, "2 um"));
    Optional<Length> gross = fields.required("gross", Sizes.positive(LARGEST, "5 um"));
    Duration time = fields.orElse("time", Scalars.duration(SHORTEST, LONGEST), USUAL_CONFIRM_TIME);
    return span.flatMap(s -> gross.map(g -> new Confirmation(readings, s, g, time)));
  }
}
