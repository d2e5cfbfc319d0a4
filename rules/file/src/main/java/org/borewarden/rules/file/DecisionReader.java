package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.stat.Quantiles;

/** Reads how a bore is compared with its limits, and refuses a rule that can accept no reading. */
final class DecisionReader {
  /** The largest uncertainty that a bore gauge may have. */
  static final Length LARGEST_UNCERTAINTY = new Length(1_000_000_000L);

  /** The largest multiple of U that may be kept from a limit. */
  static final BigDecimal MOST_TIMES = new BigDecimal("5");

  /** The probability of conformity where none is given. */
  static final double USUAL_PROBABILITY = 0.95;

  private static final Pattern TIMES = Pattern.compile("[0-9](?:\\.[0-9]{1,3})?");
  private static final Length NONE = Length.ZERO;

  private final Optional<Limits> limits;
  private final Unit unit;

  private DecisionReader(Optional<Limits> limits, Unit unit) {
    this.limits = limits;
    this.unit = unit;
  }

  static Optional<DecisionRule> read(Fields feature, Optional<Limits> limits, Unit unit) {
    if (!feature.has("decision")) {
      return Optional.of(new DecisionRule.Simple());
    }
    return feature.item("decision").flatMap(new DecisionReader(limits, unit)::decision);
  }

  private Optional<DecisionRule> decision(Item item) {
    if (!item.isMapping()) {
      boolean simple = item.text().filter("simple"::equals).isPresent();
      return simple
          ? Optional.of(new DecisionRule.Simple())
          : item.expected("simple, or a mapping with guard or proven");
    }
    return Fields.open(item, RulesKeys.DECISION).flatMap(this::oneOf);
  }

  private Optional<DecisionRule> oneOf(Fields fields) {
    if (fields.onlyKey().isEmpty()) {
      return Optional.empty();
    }
    if (fields.has("guard")) {
      return fields
          .item("guard")
          .flatMap(i -> Fields.open(i, RulesKeys.GUARD))
          .flatMap(this::guard);
    }
    return fields
        .item("proven")
        .flatMap(i -> Fields.open(i, RulesKeys.PROVEN))
        .flatMap(this::proven);
  }

  private Optional<DecisionRule> guard(Fields fields) {
    Optional<Length> uncertainty = fields.required("uncertainty", uncertainty("3 um"));
    BigDecimal times = fields.orElse("times", times(), BigDecimal.ONE);
    Length usual = uncertainty.map(u -> DecisionRule.Guard.of(times, u).upper()).orElse(NONE);
    Length lower = fields.orElse("lower", uncertainty("2.5 um"), usual);
    Length upper = fields.orElse("upper", uncertainty("2.5 um"), usual);
    for (Limits both : limits.filter(DecisionReader::isTwoSided).stream().toList()) {
      Length tolerance = tolerance(both);
      if (lower.plus(upper).isAbove(tolerance)) {
        return fields
            .self()
            .refuse(
                "no reading can be accepted: the guard bands, "
                    + ShownLength.size(lower, unit)
                    + " and "
                    + ShownLength.size(upper, unit)
                    + ", leave nothing of the tolerance of "
                    + ShownLength.size(tolerance, unit));
      }
    }
    return uncertainty.map(u -> new DecisionRule.Guard(lower, upper, u));
  }

  private Optional<DecisionRule> proven(Fields fields) {
    Optional<Length> u = fields.required("standard-uncertainty", uncertainty("1.5 um"));
    double p = fields.orElse("at", Scalars.percent("50.1", "99.99"), USUAL_PROBABILITY);
    if (u.isEmpty()) {
      return Optional.empty();
    }
    // In the middle of the tolerance P = 2 Phi(T / 2u) - 1, and nowhere is it higher.
    double needed = 2 * Quantiles.normal((1 + p) / 2);
    for (Limits both : limits.filter(DecisionReader::isTwoSided).stream().toList()) {
      double ratio = (double) tolerance(both).picometres() / u.get().picometres();
      if (ratio < needed) {
        return fields
            .self()
            .refuse(
                String.format(
                    Locale.ROOT,
                    "no reading can be accepted: T/u = %.2f, expected at least %.2f",
                    Math.floor(ratio * 100) / 100,
                    Math.ceil(needed * 100) / 100));
      }
    }
    return Optional.of(new DecisionRule.Proven(p, u.get()));
  }

  private static boolean isTwoSided(Limits limits) {
    return limits.lower().isPresent() && limits.upper().isPresent();
  }

  private static Length tolerance(Limits both) {
    return both.upper().orElse(NONE).minus(both.lower().orElse(NONE));
  }

  private static Reader<Length> uncertainty(String example) {
    return Sizes.positive(LARGEST_UNCERTAINTY, example);
  }

  private static Reader<BigDecimal> times() {
    return Reader.scalar(
        "a number from 0 to " + MOST_TIMES + ", such as 1 or 0.822",
        text ->
            Optional.of(text)
                .filter(t -> TIMES.matcher(t).matches())
                .map(BigDecimal::new)
                .filter(t -> t.compareTo(MOST_TIMES) <= 0));
  }
}
