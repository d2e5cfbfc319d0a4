package org.borewarden.rules.file;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Confirmation;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.SizeRule;

/** Says how the readings of a feature become a bore. */
final class PlanWords {
  private PlanWords() {}

  static List<String> of(Feature feature) {
    List<String> lines = new ArrayList<>();
    feature.measuring().plan().ifPresent(plan -> lines.addAll(plan(plan, feature.unit())));
    feature
        .measuring()
        .confirmation()
        .ifPresent(confirmation -> lines.add(confirmation(confirmation, feature.unit())));
    return lines;
  }

  private static List<String> plan(Plan plan, Unit unit) {
    List<String> lines = new ArrayList<>();
    String places = plan.places().stream().map(Place::key).collect(Collectors.joining(" "));
    String judged =
        plan.size() == SizeRule.EVERY
            ? "every one is judged, watches follow the " + plan.follow().key()
            : "judged is " + plan.size().key();
    int count = plan.places().size();
    lines.add(
        "  plan: "
            + (count == 1 ? "1 reading" : count + " readings")
            + " within "
            + Scalars.shown(plan.time())
            + " at "
            + places
            + ", "
            + judged);
    plan.form().ifPresent(form -> lines.add(form(form, unit)));
    return lines;
  }

  private static String form(FormRules form, Unit unit) {
    String limits =
        form.limits().stream()
            .map(limit -> limit.kind().key() + " " + ShownLength.size(limit.most(), unit))
            .collect(Collectors.joining(", "));
    String proven =
        form.repeatability()
            .map(
                s ->
                    "proven at "
                        + FeatureWords.percent(form.probability())
                        + " with a repeatability of "
                        + ShownLength.size(s, unit))
            .orElse("simple acceptance");
    return "  form at most " + limits + ", " + proven + ": " + FeatureWords.does(form.action());
  }

  private static String confirmation(Confirmation confirmation, Unit unit) {
    return "  a reading out of limit is measured again: "
        + confirmation.readings()
        + " readings within "
        + Scalars.shown(confirmation.time())
        + ", the tightest pair counts and may lie "
        + ShownLength.size(confirmation.span(), unit)
        + " apart; "
        + ShownLength.size(confirmation.gross(), unit)
        + " beyond a limit holds at once";
  }
}
