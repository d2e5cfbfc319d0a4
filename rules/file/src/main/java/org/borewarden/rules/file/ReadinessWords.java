package org.borewarden.rules.file;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.GaugeFacts;
import org.borewarden.rules.judge.Readiness;
import org.borewarden.rules.judge.Risks;
import org.borewarden.rules.judge.Unready;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.stat.GlobalRisk;
import org.borewarden.rules.uncertainty.Uncertainty;

/**
 * Says as a quality engineer wants to read it what the measurement of each feature can prove, and
 * what stands against it.
 */
public final class ReadinessWords {
  private static final List<String> HEAD =
      List.of("feature", "T", "u", "U", "k", "g", "accepted", "T/(2U)", "T/u", "T/r");

  private ReadinessWords() {}

  /**
   * A table of all features, then what stands against each, then the risks where a prior is given.
   *
   * @param rules the rules
   * @param today the day (ISO 8601) of the check
   * @return lines of text
   */
  public static List<String> of(RuleSet rules, String today) {
    List<String> lines = new ArrayList<>();
    lines.add("readiness on " + today);
    List<List<String>> rows = new ArrayList<>();
    rows.add(HEAD);
    rules.features().forEach(feature -> rows.add(row(feature, GaugeFacts.of(rules, feature))));
    table(rows).forEach(line -> lines.add("  " + line));
    for (Feature feature : rules.features()) {
      List<Unready> found = Readiness.of(feature, GaugeFacts.of(rules, feature), today);
      if (found.isEmpty()) {
        lines.add("  " + feature.id() + ": nothing stands against it");
      }
      found.forEach(f -> lines.add("  " + feature.id() + ": " + words(f, feature)));
      risks(feature).forEach(line -> lines.add("  " + feature.id() + ": " + line));
    }
    return List.copyOf(lines);
  }

  private static List<String> row(Feature feature, GaugeFacts facts) {
    Unit unit = feature.unit();
    Acceptance acceptance = Acceptance.of(feature.limits(), feature.uncorrected());
    Optional<Length> tolerance = acceptance.tolerance();
    Optional<Uncertainty> stated = feature.uncorrected().stated();
    return List.of(
        feature.id(),
        tolerance.map(t -> ShownLength.size(t, unit)).orElse("one limit"),
        stated.map(u -> UncertaintyWords.rounded(u.standard(), unit)).orElse("-"),
        stated.map(u -> UncertaintyWords.rounded(u.expanded(), unit)).orElse("-"),
        stated.map(u -> UncertaintyWords.k(u.k())).orElse("-"),
        guards(feature, acceptance),
        accepted(acceptance, unit),
        number(Readiness.ratio(feature)),
        ratio(tolerance, stated.map(Uncertainty::standard)),
        ratio(tolerance, facts.resolution()));
  }

  private static String guards(Feature feature, Acceptance acceptance) {
    Unit unit = feature.unit();
    if (acceptance.zone().admitsNone()) {
      return "-";
    }
    List<String> bands =
        acceptance.guardBands().stream()
            .map(g -> UncertaintyWords.rounded(g, unit))
            .distinct()
            .toList();
    return String.join(" / ", bands);
  }

  /** Rounded inward, so that nobody reads a size as accepted that is not. */
  private static String accepted(Acceptance acceptance, Unit unit) {
    if (acceptance.zone().admitsNone()) {
      return "none";
    }
    Optional<String> low = acceptance.zone().lower().map(l -> edge(l, unit, true));
    Optional<String> high = acceptance.zone().upper().map(l -> edge(l, unit, false));
    return low.isPresent() && high.isPresent()
        ? low.get() + " to " + high.get()
        : low.map(l -> "from " + l).or(() -> high.map(h -> "up to " + h)).orElse("");
  }

  private static String edge(Length length, Unit unit, boolean up) {
    long step = UncertaintyWords.step(unit);
    long picometres = length.picometres();
    long steps = Math.floorDiv(picometres + (up ? step - 1 : 0), step);
    return ShownLength.size(new Length(steps * step), unit);
  }

  private static String ratio(Optional<Length> of, Optional<Length> by) {
    return of.isPresent() && by.isPresent()
        ? number(OptionalDouble.of((double) of.get().picometres() / by.get().picometres()))
        : "-";
  }

  /** Rounded down, so that a ratio that is not met never prints as if it were. */
  private static String number(OptionalDouble value) {
    return value.isPresent()
        ? String.format(Locale.ROOT, "%.2f", Math.floor(value.getAsDouble() * 100 + 1e-9) / 100)
        : "-";
  }

  private static List<String> table(List<List<String>> rows) {
    int columns = HEAD.size();
    int[] width = new int[columns];
    for (List<String> row : rows) {
      for (int i = 0; i < columns; i++) {
        width[i] = Math.max(width[i], row.get(i).length());
      }
    }
    List<String> lines = new ArrayList<>();
    for (List<String> row : rows) {
      StringBuilder line = new StringBuilder();
      for (int i = 0; i < columns; i++) {
        line.append(row.get(i)).append(" ".repeat(width[i] - row.get(i).length() + 2));
      }
      lines.add(line.toString().stripTrailing());
    }
    return lines;
  }

  private static String words(Unready found, Feature feature) {
    Unit unit = feature.unit();
    if (found instanceof Unready.NoUncertainty) {
      return "no uncertainty is stated: simple acceptance, a size at a limit is as likely out as in";
    }
    if (found instanceof Unready.Coarse coarse) {
      return "the gauge steps by "
          + ShownLength.size(coarse.step(), unit)
          + ", asked for is "
          + ShownLength.size(coarse.most(), unit)
          + " or finer";
    }
    if (found instanceof Unready.SmallRatio small) {
      return "T/(2U) is "
          + number(OptionalDouble.of(small.found()))
          + ", asked for is "
          + small.asked().toPlainString();
    }
    if (found instanceof Unready.NoRatio) {
      return "one limit: there is no T to compare U with; give readiness.tolerance";
    }
    if (found instanceof Unready.NothingAccepted none) {
      return none.refusal().words();
    }
    if (found instanceof Unready.NothingAcceptedUncorrected none) {
      return "while no fresh temperature is known, " + none.refusal().words();
    }
    return ofGaugeAndRing(found, unit);
  }

  private static String ofGaugeAndRing(Unready found, Unit unit) {
    if (found instanceof Unready.RingFar far) {
      String share =
          Double.isNaN(far.share())
              ? ""
              : String.format(Locale.ROOT, ", %.0f %% of the gauge's range", far.share() * 100);
      return "the ring is " + ShownLength.size(far.distance(), unit) + " from the size" + share;
    }
    if (found instanceof Unready.Overdue overdue) {
      return "the calibration of " + overdue.what() + " counted until " + overdue.day();
    }
    if (found instanceof Unready.UnderRingCheck under) {
      return underRingCheck(under, unit);
    }
    Unready.FewDegrees few = (Unready.FewDegrees) found;
    return String.format(
        Locale.ROOT,
        "%.1f effective degrees of freedom: u itself is uncertain by %.0f %%, take more readings",
        few.freedom(),
        100 / Math.sqrt(2 * few.freedom()));
  }

  static String underRingCheck(Unready.UnderRingCheck under, Unit unit) {
    return "a ring check that passes lets a bias of u = "
        + UncertaintyWords.rounded(under.least(), unit)
        + " stand, which is more than "
        + (under.refuses() ? "U" : "the stated u");
  }

  private static List<String> risks(Feature feature) {
    Optional<GlobalRisk> found = Risks.of(feature);
    return found
        .map(
            risk ->
                List.of(
                    "risks with the prior, beside the rule: "
                        + share(risk.outOfLimit())
                        + " of the bores are out of limit; "
                        + share(risk.consumer())
                        + " are out and accepted (consumer's), "
                        + share(risk.producer())
                        + " good and not accepted (producer's)"))
        .orElse(List.of());
  }

  /** Per cent, or parts per million where that is less than a hundredth of a per cent. */
  private static String share(double share) {
    return share < 1e-4
        ? String.format(Locale.ROOT, "%.3g ppm", share * 1e6)
        : String.format(Locale.ROOT, "%.2f %%", share * 100);
  }
}
