package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Keys;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.DecisionRule.Band;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.stat.Quantiles;
import org.borewarden.rules.uncertainty.Uncertainty;

/** Reads how a bore is compared with its limits, and refuses a rule that can accept no reading. */
final class DecisionReader {
  /** The largest multiple of U that may be kept from a limit. */
  static final BigDecimal MOST_TIMES = new BigDecimal("5");

  /** The probability of conformity where none is given. */
  static final double USUAL_PROBABILITY = 0.95;

  private static final Pattern TIMES = Pattern.compile("[0-9](?:\\.[0-9]{1,3})?");
  private static final List<String> WAYS = List.of("guard", "proven");
  private static final String EXPECTED = "simple, proven, guard, or a mapping with guard or proven";

  private final Optional<Limits> limits;
  private final Unit unit;
  private final Optional<Uncertainty> stated;
  private final boolean isStated;

  private DecisionReader(Fields feature, Optional<Limits> limits, Unit unit, Stated stated) {
    this.limits = limits;
    this.unit = unit;
    this.stated = stated.best();
    this.isStated = feature.has("uncertainty");
  }

  /**
   * How well the size is known.
   *
   * @param base without temperature
   * @param temperature what temperature adds at best, picometres
   */
  record Stated(Optional<Uncertainty> base, double temperature) {
    Optional<Uncertainty> best() {
      return base.map(u -> u.beside(temperature));
    }
  }

  /** The rule with the uncertainty before temperature; refused by what is known at best. */
  static Optional<DecisionRule> read(
      Fields feature, Optional<Limits> limits, Unit unit, Stated stated) {
    DecisionReader reader = new DecisionReader(feature, limits, unit, stated);
    Optional<DecisionRule> rule =
        feature.has("decision")
            ? feature.item("decision").flatMap(reader::decision)
            : reader.usual(feature);
    return rule.map(r -> stated.base().map(r::with).orElse(r));
  }

  /** Proven where an uncertainty is stated (ISO 14253-1), else there is only the simple one. */
  private Optional<DecisionRule> usual(Fields feature) {
    if (!isStated) {
      return Optional.of(new DecisionRule.Simple());
    }
    return feature.item("uncertainty").flatMap(i -> proven(i, USUAL_PROBABILITY));
  }

  private Optional<DecisionRule> decision(Item item) {
    if (item.isMapping()) {
      return Fields.open(item, RulesKeys.DECISION).flatMap(this::oneOf);
    }
    return switch (item.text().orElse("")) {
      case "simple" -> Optional.of(new DecisionRule.Simple(stated));
      case "proven" -> proven(item, USUAL_PROBABILITY);
      case "guard" -> guard(item, new Band.Times(BigDecimal.ONE), new Band.Times(BigDecimal.ONE));
      default -> item.expected(EXPECTED);
    };
  }

  private Optional<DecisionRule> oneOf(Fields fields) {
    List<String> ways = WAYS.stream().filter(fields::has).toList();
    if (ways.size() != 1) {
      return ways.isEmpty() && fields.hasUnknown()
          ? Optional.empty()
          : fields
              .self()
              .refuse(
                  "expected one of guard, proven, found "
                      + (ways.isEmpty() ? "none" : String.join(" and ", ways)));
    }
    return ways.get(0).equals("guard")
        ? inner(fields, "guard", RulesKeys.GUARD).flatMap(this::guard)
        : inner(fields, "proven", RulesKeys.PROVEN).flatMap(this::proven);
  }

  private static Optional<Fields> inner(Fields fields, String key, Keys keys) {
    return fields.item(key).flatMap(i -> Fields.open(i, keys));
  }

  private Optional<DecisionRule> guard(Fields fields) {
    Band usual = new Band.Times(fields.orElse("times", times(), BigDecimal.ONE));
    Reader<Length> length = UncertaintyReader.length("2.5 um");
    Band lower = fields.optional("lower", length).<Band>map(Band.Fixed::new).orElse(usual);
    Band upper = fields.optional("upper", length).<Band>map(Band.Fixed::new).orElse(usual);
    return guard(fields.self(), lower, upper);
  }

  private Optional<DecisionRule> guard(Item at, Band lowerBand, Band upperBand) {
    if (stated.isEmpty()) {
      return missing(at);
    }
    DecisionRule.Guard rule = new DecisionRule.Guard(lowerBand, upperBand, stated.get());
    Optional<Length> tolerance = limits.flatMap(DecisionReader::tolerance);
    if (tolerance.filter(t -> rule.lower().plus(rule.upper()).isAbove(t)).isPresent()) {
      return at.refuse(
          "no reading can be accepted: the guard bands, "
              + ShownLength.size(rule.lower(), unit)
              + " and "
              + ShownLength.size(rule.upper(), unit)
              + ", leave nothing of the tolerance of "
              + ShownLength.size(tolerance.get(), unit));
    }
    return Optional.of(rule);
  }

  private Optional<DecisionRule> proven(Fields fields) {
    double p = fields.orElse("at", Scalars.percent("50.1", "99.99"), USUAL_PROBABILITY);
    return proven(fields.self(), p);
  }

  private Optional<DecisionRule> proven(Item at, double p) {
    if (stated.isEmpty()) {
      return missing(at);
    }
    // In the middle of the tolerance P = 2 Phi(T / 2u) - 1, and nowhere is it higher.
    double needed = 2 * Quantiles.normal((1 + p) / 2);
    Optional<Length> tolerance = limits.flatMap(DecisionReader::tolerance);
    if (tolerance.isPresent()) {
      double ratio = (double) tolerance.get().picometres() / stated.get().standard().picometres();
      if (ratio < needed) {
        return at.refuse(
            String.format(
                Locale.ROOT,
                "no reading can be accepted: T/u = %.2f, expected at least %.2f",
                Math.floor(ratio * 100) / 100,
                Math.ceil(needed * 100) / 100));
      }
    }
    return Optional.of(new DecisionRule.Proven(p, stated.get()));
  }

  /** A wrong uncertainty was told where it stands. */
  private Optional<DecisionRule> missing(Item at) {
    return isStated
        ? Optional.empty()
        : at.refuse("expected an uncertainty at the feature, such as {U: 3 um, k: 2}, found none");
  }

  private static Optional<Length> tolerance(Limits limits) {
    return limits.lower().flatMap(l -> limits.upper().map(v -> v.minus(l)));
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
