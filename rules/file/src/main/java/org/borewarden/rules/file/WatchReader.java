package org.borewarden.rules.file;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Supplier;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Action.Level;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.SlopePrior;
import org.borewarden.rules.part.WatchRule;

/** Reads the watches of one feature. Used by one thread. */
final class WatchReader implements Reader<WatchRule> {
  /** The most watches of a feature. */
  static final int MOST_WATCHES = 20;

  /** The farthest forecast that may be asked for, and the longest lead, in parts. */
  static final int MOST_PARTS = 1_000;

  /** The fewest and the most bores that must stand before a forecast is made. */
  static final int FEWEST_BORES = 5;

  static final int MOST_BORES = 200;
  static final int USUAL_BORES = 12;

  /** The longest run, and the usual one. */
  static final int LONGEST_RUN = 100;

  static final int USUAL_RUN = 9;

  /** How many successive bores must say so, at most and usually. */
  static final int MOST_SUCCESSIVE = 10;

  static final int USUAL_SUCCESSIVE = 2;
  static final double USUAL_PROBABILITY = 0.95;

  /** The largest scatter of one bore. */
  static final Length LARGEST_SIGMA = new Length(1_000_000_000L);

  private final boolean hasCentre;
  private final LimitChartReader limitCharts;
  private final Unique ids = new Unique("watch id");

  private WatchReader(boolean hasCentre, LimitChartReader limitCharts) {
    this.hasCentre = hasCentre;
    this.limitCharts = limitCharts;
  }

  /**
   * Reads the watches of a feature.
   *
   * @param limits its limits, where they could be read
   * @param centre its centre, where it has one that could be read
   * @param hasCentre whether it has one, read or not
   */
  static List<WatchRule> read(
      Fields feature, Optional<Limits> limits, Optional<Length> centre, boolean hasCentre) {
    WatchReader each = new WatchReader(hasCentre, new LimitChartReader(limits, centre));
    return feature.orElse("watches", Lists.of("watches", 1, MOST_WATCHES, each), List.of());
  }

  @Override
  public String expects() {
    return "a watch";
  }

  @Override
  public Optional<WatchRule> read(Item item) {
    return Fields.open(item, RulesKeys.WATCH).flatMap(this::oneOf);
  }

  private Optional<WatchRule> oneOf(Fields fields) {
    Optional<String> kind = fields.onlyKey();
    if (kind.isEmpty()) {
      return Optional.empty();
    }
    if (fields.has("tool-offset")) {
      return fields
          .item("tool-offset")
          .flatMap(item -> Fields.open(item, RulesKeys.TOOL_OFFSET))
          .flatMap(this::toolOffset);
    }
    if (fields.has("capability")) {
      return fields
          .item("capability")
          .flatMap(item -> Fields.open(item, RulesKeys.CAPABILITY))
          .flatMap(this::capability);
    }
    if (fields.has("form-capability")) {
      return fields
          .item("form-capability")
          .flatMap(item -> Fields.open(item, RulesKeys.FORM_CAPABILITY))
          .flatMap(this::formCapability);
    }
    if (!fields.has("forecast") && !fields.has("run-on-one-side")) {
      return fields
          .item(kind.get())
          .flatMap(item -> Fields.open(item, ChartReader.keys(kind.get())))
          .flatMap(chart -> chart(kind.get(), chart));
    }
    if (fields.has("forecast")) {
      return fields
          .item("forecast")
          .flatMap(item -> Fields.open(item, RulesKeys.FORECAST))
          .flatMap(this::forecast);
    }
    return fields
        .item("run-on-one-side")
        .flatMap(item -> Fields.open(item, RulesKeys.RUN_ON_ONE_SIDE))
        .flatMap(this::oneSide);
  }

  private Optional<WatchRule> forecast(Fields fields) {
    String id = id(fields, "forecast");
    Optional<Integer> hold = fields.optional("hold-within", parts());
    Optional<Integer> alert = fields.optional("alert-within", parts());
    if (!fields.has("hold-within") && !fields.has("alert-within")) {
      fields.missing("hold-within", "hold-within, alert-within or both");
    }
    if (hold.isPresent() && alert.isPresent() && alert.get() < hold.get()) {
      String least = hold.get() + " parts";
      fields.item("alert-within").ifPresent(i -> i.expected("at least hold-within, " + least));
    }
    if (!fields.has("hold-within")) {
      refuseIdle(fields);
    }
    double probability =
        fields.orElse("probability", Scalars.percent("80", "99.9"), USUAL_PROBABILITY);
    int bores =
        fields.orElse("minimum-bores", Scalars.whole(FEWEST_BORES, MOST_BORES), USUAL_BORES);
    Optional<Length> sigma = fields.optional("sigma", Sizes.positive(LARGEST_SIGMA, "1.1 um"));
    int lead = fields.orElse("lead", parts(), 1);
    int successive =
        fields.orElse("successive", Scalars.whole(1, MOST_SUCCESSIVE), USUAL_SUCCESSIVE);
    Optional<SlopePrior> prior =
        fields
            .item("slope-prior")
            .flatMap(item -> PriorReader.read(item, bores, fields.has("sigma")));
    Action whenHeld = ActionReader.hold(fields);
    return ifGood(
        fields,
        () ->
            new WatchRule.Forecast(
                id,
                probability,
                bores,
                sigma,
                lead,
                optional(alert),
                optional(hold),
                successive,
                ActionReader.weaker(Level.ALERT),
                whenHeld,
                prior));
  }

  /** What a hold does has no meaning for a forecast that never holds. */
  private static void refuseIdle(Fields fields) {
    for (String key : List.of("stop", "watch-only-until")) {
      if (fields.has(key)) {
        fields.refuse(key, "expected no " + key + " where no hold-within stands");
      }
    }
  }

  private Optional<WatchRule> oneSide(Fields fields) {
    if (!hasCentre) {
      fields
          .self()
          .refuse("expected a centre at the feature, which has one limit only, found nothing");
    }
    String id = id(fields, "run-on-one-side");
    int bores = fields.orElse("bores", Scalars.whole(2, LONGEST_RUN), USUAL_RUN);
    Action action = ActionReader.action(fields, Level.ALERT);
    return ifGood(fields, () -> new WatchRule.OneSide(id, bores, action));
  }

  private Optional<WatchRule> toolOffset(Fields fields) {
    if (!hasCentre) {
      fields
          .self()
          .refuse("expected a centre at the feature, which has one limit only, found nothing");
    }
    String id = id(fields, "tool-offset");
    Optional<Length> step = fields.required("step", Sizes.positive(LARGEST_SIGMA, "1 um"));
    boolean onRadius =
        fields.orElse("on", Scalars.word("diameter", "radius"), "diameter").equals("radius");
    boolean reversed =
        fields.orElse("positive", Scalars.word("larger", "smaller"), "larger").equals("smaller");
    Optional<Length> sigma = fields.optional("sigma", Sizes.positive(LARGEST_SIGMA, "1.1 um"));
    int minimum = fields.orElse("minimum-bores", Scalars.whole(3, MOST_BORES), 5);
    int proof = fields.orElse("proof-bores", Scalars.whole(1, 20), 3);
    Action action = ActionReader.action(fields, Level.ALERT);
    return step.flatMap(
        s ->
            ifGood(
                fields,
                () ->
                    new WatchRule.ToolOffset(
                        id, s, onRadius, reversed, sigma, minimum, proof, action)));
  }

  private Optional<WatchRule> capability(Fields fields) {
    String id = id(fields, "capability");
    double confidence =
        fields.orElse("confidence", Scalars.percent("80", "99.9"), USUAL_PROBABILITY);
    Optional<Integer> window =
        fields.optional(
            "window",
            Scalars.whole(
                WatchRule.Capability.SHORTEST_WINDOW, WatchRule.Capability.LONGEST_WINDOW));
    return ifGood(fields, () -> new WatchRule.Capability(id, confidence, optional(window)));
  }

  private Optional<WatchRule> formCapability(Fields fields) {
    Optional<FormKind> kind =
        fields.required("of", Scalars.word(Arrays.asList(FormKind.values()), FormKind::key));
    String id = id(fields, kind.map(FormKind::key).orElse("form-capability"));
    double confidence =
        fields.orElse("confidence", Scalars.percent("80", "99.9"), USUAL_PROBABILITY);
    return kind.flatMap(
        of -> ifGood(fields, () -> new WatchRule.FormCapability(id, of, confidence)));
  }

  /** The capability of a form is told against its limit, which stands in the plan. */
  static void refuseUnlimitedForms(Fields feature, List<WatchRule> watches, Measuring measuring) {
    List<FormKind> limited =
        measuring.plan().flatMap(Plan::form).map(FormRules::limits).orElse(List.of()).stream()
            .map(FormLimit::kind)
            .toList();
    for (WatchRule watch : watches) {
      if (watch instanceof WatchRule.FormCapability form && !limited.contains(form.kind())) {
        String key = form.kind().key();
        feature.refuse(
            "watches", "expected a limit of " + key + " in the plan's form for watch " + form.id());
      }
    }
  }

  private Optional<WatchRule> chart(String kind, Fields fields) {
    String id = id(fields, kind);
    if (LimitChartReader.reads(kind)) {
      Action does = ActionReader.action(fields, Level.ALERT);
      return limitCharts
          .read(kind, id, fields, does)
          .filter(read -> fields.self().problems().none());
    }
    ChartTest test = ChartReader.test(kind, fields);
    ChartScale scale = new ChartReader(hasCentre).scale(kind, fields);
    Action action = ActionReader.action(fields, Level.ALERT);
    return ifGood(fields, () -> new WatchRule.Chart(id, test, scale, action));
  }

  /** A file with any problem gives no rules, so that nothing is built from half-read values. */
  private static Optional<WatchRule> ifGood(Fields fields, Supplier<WatchRule> watch) {
    return fields.self().problems().none() ? Optional.of(watch.get()) : Optional.empty();
  }

  private String id(Fields fields, String usual) {
    String id = fields.orElse("id", Scalars.id(), usual);
    ids.add(id, fields.item("id").orElse(fields.self()));
    return id;
  }

  private static Reader<Integer> parts() {
    return Scalars.parts(1, MOST_PARTS);
  }

  private static OptionalInt optional(Optional<Integer> value) {
    return value.isPresent() ? OptionalInt.of(value.get()) : OptionalInt.empty();
  }
}
