package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.uncertainty.Budget;
import org.borewarden.rules.uncertainty.Component;
import org.borewarden.rules.uncertainty.Expansion;
import org.borewarden.rules.uncertainty.Uncertainty;

/** Says how well a size is known: the budget line by line, and what temperature does. */
final class UncertaintyWords {
  private UncertaintyWords() {}

  /** {@code U = 3 um (k = 2)}. */
  static String expanded(Uncertainty uncertainty, Unit unit) {
    return "U = " + rounded(uncertainty.expanded(), unit) + " (k = " + k(uncertainty.k()) + ")";
  }

  /** k with three digits behind the point at most. */
  static String k(double k) {
    return BigDecimal.valueOf(k)
        .setScale(3, RoundingMode.HALF_EVEN)
        .stripTrailingZeros()
        .toPlainString();
  }

  static List<String> of(Feature feature) {
    List<String> lines = new ArrayList<>();
    feature
        .rule()
        .stated()
        .flatMap(Uncertainty::budget)
        .ifPresent(budget -> lines.addAll(budget(budget, feature.unit())));
    feature.assurance().temperature().ifPresent(t -> lines.addAll(temperature(t, feature)));
    return lines;
  }

  private static List<String> budget(Budget budget, Unit unit) {
    List<String> lines = new ArrayList<>();
    double freedom = budget.freedom();
    String degrees =
        Double.isInfinite(freedom)
            ? ""
            : String.format(Locale.ROOT, ", %.1f effective degrees of freedom", freedom);
    lines.add("budget: u = " + rounded(length(budget.picometres()), unit) + degrees);
    for (Component component : budget.components()) {
      String share =
          budget.counts(component)
              ? String.format(Locale.ROOT, "%.0f %%", budget.share(component) * 100)
              : "not counted, held in the larger of resolution and repeatability";
      lines.add(
          "  "
              + component.name()
              + ": "
              + rounded(length(component.picometres()), unit)
              + ", type "
              + component.evaluation()
              + ", "
              + component.shape().key()
              + ", "
              + share);
    }
    return lines;
  }

  private static List<String> temperature(Expansion expansion, Feature feature) {
    List<String> lines = new ArrayList<>();
    Unit unit = feature.unit();
    String range =
        number(expansion.from())
            + " to "
            + number(expansion.to())
            + " degC, differences up to "
            + number(expansion.difference())
            + " K";
    lines.add(
        "temperature: "
            + range
            + ": without correction it adds u = "
            + rounded(length(expansion.uncorrected(feature.nominal())), unit));
    lines.add(
        "  expansion of part "
            + ppm(expansion.part())
            + ", ring "
            + ppm(expansion.ring())
            + ", gauge "
            + ppm(expansion.gauge()));
    expansion
        .correction()
        .ifPresent(
            c ->
                lines.add(
                    "  corrected to 20 degC where temperatures are younger than "
                        + org.borewarden.rules.file.yaml.Scalars.shown(c.oldest())));
    return lines;
  }

  private static Length length(double picometres) {
    return new Length(Math.round(picometres));
  }

  /** To a hundredth of a micrometre, or a half of a millionth of an inch: no one knows u finer. */
  static String rounded(Length length, Unit unit) {
    long step = step(unit);
    long steps = Math.round((double) length.picometres() / step);
    return ShownLength.size(steps == 0 ? length : new Length(steps * step), unit);
  }

  static long step(Unit unit) {
    return switch (unit) {
      case MILLIMETRE, MICROMETRE -> 10_000L;
      case INCH, MICROINCH -> 12_700L;
    };
  }

  private static String ppm(double perKelvin) {
    return number(perKelvin * 1e6) + " ppm/K";
  }

  private static String number(double value) {
    return BigDecimal.valueOf(value)
        .setScale(3, RoundingMode.HALF_EVEN)
        .stripTrailingZeros()
        .toPlainString();
  }
}
