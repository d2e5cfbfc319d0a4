package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.uncertainty.Budget;
import org.borewarden.rules.uncertainty.Component;
import org.borewarden.rules.uncertainty.Coverage;
import org.borewarden.rules.uncertainty.Uncertainty;

/** Reads how well the judged size is known: U with k, or a budget. */
final class UncertaintyReader {
  /** The largest uncertainty that a bore gauge may have. */
  static final Length LARGEST = new Length(1_000_000_000L);

  /** The most components of a budget. */
  static final int MOST_COMPONENTS = 30;

  private UncertaintyReader() {}

  static Optional<Uncertainty> read(Fields feature) {
    return feature
        .item("uncertainty")
        .flatMap(item -> Fields.open(item, RulesKeys.UNCERTAINTY))
        .flatMap(UncertaintyReader::stated);
  }

  private static Optional<Uncertainty> stated(Fields fields) {
    if (fields.has("U") == fields.has("budget")) {
      return fields.has("U") || !fields.hasUnknown()
          ? fields
              .self()
              .refuse("expected U or budget, found " + (fields.has("U") ? "both" : "neither"))
          : Optional.empty();
    }
    if (fields.has("U")) {
      Optional<Length> expanded = fields.required("U", length("3 um"));
      double k = factor(fields);
      return expanded.map(u -> Uncertainty.expanded(u, k));
    }
    Coverage coverage = fields.orElse("k", coverage(), Coverage.USUAL);
    Optional<List<Component>> components =
        fields.required(
            "budget",
            Lists.of(
                "components",
                1,
                MOST_COMPONENTS,
                Reader.of("a component", UncertaintyReader::component)));
    // What could not be read was told, and what is left must not be combined.
    if (components.isEmpty() || !fields.self().problems().none()) {
      return Optional.empty();
    }
    return budget(fields, components.get())
        .flatMap(b -> small(fields, Uncertainty.of(b, coverage)));
  }

  private static Optional<Budget> budget(Fields fields, List<Component> components) {
    boolean two =
        components.stream().filter(c -> c.kind() == Component.Kind.RESOLUTION).count() > 1;
    return two
        ? fields.refuse("budget", "expected one component with a step at most")
        : Optional.of(new Budget(components));
  }

  private static Optional<Uncertainty> small(Fields fields, Uncertainty stated) {
    return stated.expanded().isAbove(LARGEST)
        ? fields.refuse("budget", "expected an expanded uncertainty of at most 1 mm")
        : Optional.of(stated);
  }

  private static Optional<Component> component(Item item) {
    return Fields.open(item, RulesKeys.COMPONENT)
        .flatMap(fields -> new ComponentReader(fields).component());
  }

  /** The factor of a certificate or of a stated U. */
  static double factor(Fields fields) {
    return fields.orElse("k", Numbers.number("1", "10", "2"), new BigDecimal("2")).doubleValue();
  }

  /** A small length above 0. */
  static Reader<Length> length(String example) {
    return Sizes.positive(LARGEST, example);
  }

  private static Reader<Coverage> coverage() {
    String expects =
        "a coverage factor from 1 to 10, such as 2, or the probability that gives it, such as"
            + " \"95 %\"";
    Reader<BigDecimal> factor = Numbers.number("1", "10", "2");
    Reader<Double> probability = Scalars.percent("50.1", "99.99");
    return Reader.of(
        expects,
        item -> {
          if (item.text().filter(t -> t.endsWith("%")).isPresent()) {
            return probability.read(item).map(Coverage.Probability::new);
          }
          return factor.read(item).map(k -> new Coverage.Factor(k.doubleValue()));
        });
  }
}
