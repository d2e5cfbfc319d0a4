package org.borewarden.rules.file;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Assurance;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Drawing;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Feature.Disposition;
import org.borewarden.rules.part.HoleSize;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.ShiftRules;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.uncertainty.Uncertainty;

/** Reads the features of one file, in order, and holds them against each other. One thread. */
final class FeatureReader implements Reader<Feature> {
  /** The longest part number. */
  static final int LONGEST_PART = 64;

  /** The longest input key. */
  static final int LONGEST_INPUT = 32;

  /** The longest tool name: what a tool register or a command can say is shorter. */
  static final int LONGEST_TOOL = 32;

  /** The highest feature number: one register to the cell. */
  static final int HIGHEST_NUMBER = 65_535;

  /** The longest sampling interval, in parts. */
  static final int LONGEST_INTERVAL = 10_000;

  /** The smallest and the largest nominal size: a hand-held bore gauge reaches neither. */
  static final Length SMALLEST = new Length(100_000_000L);

  static final Length LARGEST = new Length(10_000_000_000_000L);

  private final Optional<String> defaultPart;
  private final Optional<String> defaultCell;
  private final Drawing defaultDrawing;
  private final Unique ids = new Unique("id");
  private final Unique numbers = new Unique("number");
  private final List<Measure> measures = new ArrayList<>();
  private final List<ShiftRules> shifts = new ArrayList<>();
  private int position;

  FeatureReader(
      Optional<String> defaultPart, Optional<String> defaultCell, Drawing defaultDrawing) {
    this.defaultPart = defaultPart;
    this.defaultCell = defaultCell;
    this.defaultDrawing = defaultDrawing;
  }

  /** What is asked over a shift of the features that were read. */
  List<ShiftRules> shifts() {
    return List.copyOf(shifts);
  }

  @Override
  public String expects() {
    return "a feature";
  }

  @Override
  public Optional<Feature> read(Item item) {
    position++;
    return Fields.open(item, RulesKeys.FEATURE).flatMap(this::feature);
  }

  private Optional<Feature> feature(Fields fields) {
    Optional<String> id = fields.required("id", Scalars.id());
    id.ifPresent(value -> ids.add(value, item(fields, "id")));
    int number = fields.orElse("number", Scalars.whole(1, HIGHEST_NUMBER), position);
    numbers.add(number, item(fields, "number"));
    Optional<String> part = part(fields);
    Optional<String> gauge = fields.required("gauge", Scalars.id());
    Optional<String> input = fields.optional("input", Scalars.text(LONGEST_INPUT));
    Optional<String> cell = fields.optional("cell", Scalars.id()).or(() -> defaultCell);
    Optional<String> tool = fields.optional("tool", Scalars.text(LONGEST_TOOL));
    Optional<HoleSize> hole = fields.optional("size", Sizes.hole());
    Optional<Written> nominal = nominal(fields, hole);
    Optional<Limits> limits =
        fields.has("size") ? hole.map(HoleSize::limits) : LimitsReader.read(fields, nominal);
    Unit unit =
        fields.orElse("unit", Sizes.unit(), nominal.flatMap(Written::unit).orElse(Unit.MILLIMETRE));
    Optional<Length> centre = LimitsReader.centre(fields, limits, nominal);
    Assurance assurance = AssuranceReader.read(fields, limits, defaultDrawing);
    Optional<Uncertainty> known = UncertaintyReader.read(fields);
    DecisionReader.Stated stated =
        new DecisionReader.Stated(known, atBest(assurance, nominal.map(Written::length)));
    Optional<DecisionRule> rule = DecisionReader.read(fields, limits, unit, stated);
    int sampledEvery = fields.orElse("sampled-every", Scalars.parts(1, LONGEST_INTERVAL), 1);
    Feature.OutOfLimit undersize = ActionReader.outOfLimit(fields, "undersize", Disposition.REWORK);
    Feature.OutOfLimit oversize = ActionReader.outOfLimit(fields, "oversize", Disposition.SCRAP);
    limits.ifPresent(l -> refuseIdleSides(fields, l));
    boolean hasCentre = centre.isPresent() || limits.isEmpty() || fields.has("centre");
    List<WatchRule> watches = WatchReader.read(fields, limits, centre, hasCentre);
    Measuring measuring = PlanReader.read(fields, rule);
    if (fields.self().problems().none()) {
      WatchReader.refuseUnlimitedForms(fields, watches, measuring);
    }
    ShiftReader.read(fields, id.orElse(""), limits, hasCentre && limits.isPresent())
        .ifPresent(shifts::add);
    if (id.isEmpty() || part.isEmpty() || gauge.isEmpty()) {
      return Optional.empty();
    }
    measures.add(new Measure(fields, id.get(), gauge.get(), input));
    boolean read = nominal.isPresent() && limits.isPresent() && rule.isPresent();
    if (!read || !fields.self().problems().none()) {
      return Optional.empty();
    }
    return Optional.of(
        new Feature(
            id.get(),
            number,
            part.get(),
            gauge.get(),
            input,
            cell,
            tool,
            nominal.get().length(),
            limits.get(),
            unit,
            rule.get(),
            assurance,
            centre,
            sampledEvery,
            undersize,
            oversize,
            watches,
            measuring,
            StreamReader.read(fields)));
  }

  /** What temperature adds at best: with a correction it may be next to nothing. */
  private static double atBest(Assurance assurance, Optional<Length> nominal) {
    return assurance
        .temperature()
        .filter(expansion -> expansion.correction().isEmpty())
        .flatMap(expansion -> nominal.map(expansion::uncorrected))
        .orElse(0.0);
  }

  /** With a hole class the nominal size and the limits stand in it, and nowhere else. */
  private static Optional<Written> nominal(Fields fields, Optional<HoleSize> hole) {
    if (!fields.has("size")) {
      return fields.required("nominal", Sizes.size(SMALLEST, LARGEST));
    }
    for (String key : List.of("nominal", "upper", "lower", "limits")) {
      if (fields.has(key)) {
        fields.refuse(key, "expected no " + key + " where size stands");
      }
    }
    return hole.map(h -> new Written(h.nominal(), Optional.of(Unit.MILLIMETRE)));
  }

  private Optional<String> part(Fields fields) {
    Reader<String> reader = Scalars.text(LONGEST_PART);
    if (defaultPart.isPresent() && !fields.has("part")) {
      return defaultPart;
    }
    if (!fields.has("part")) {
      return fields.missing("part", "a part number here or at the head of the file");
    }
    return fields.required("part", reader);
  }

  /** A side that has no limit cannot be out of it. */
  private static void refuseIdleSides(Fields fields, Limits limits) {
    if (limits.lower().isEmpty() && fields.has("undersize")) {
      fields.refuse("undersize", "expected no undersize where no lower limit stands");
    }
    if (limits.upper().isEmpty() && fields.has("oversize")) {
      fields.refuse("oversize", "expected no oversize where no upper limit stands");
    }
  }

  private record Measure(Fields fields, String id, String gauge, Optional<String> input) {}

  /**
   * Readings of a gauge's input go to one feature; a second one would never be judged.
   *
   * @param telling the gauges that tell their features apart otherwise
   */
  void refuseSecondMeasures(Set<String> telling) {
    Map<String, Map<Optional<String>, String>> measured = new HashMap<>();
    measures.stream()
        .filter(measure -> !telling.contains(measure.gauge()))
        .forEach(measure -> refuseSecond(measured, measure));
  }

  private static void refuseSecond(
      Map<String, Map<Optional<String>, String>> measured, Measure measure) {
    Optional<String> input = measure.input();
    Map<Optional<String>, String> inputs =
        measured.computeIfAbsent(measure.gauge(), g -> new HashMap<>());
    Optional<String> taken =
        inputs.entrySet().stream()
            .filter(e -> e.getKey().isEmpty() || input.isEmpty() || e.getKey().equals(input))
            .map(Map.Entry::getValue)
            .findFirst();
    taken.ifPresent(
        other ->
            measure
                .fields()
                .refuse(
                    "gauge",
                    "expected a gauge (or an input of it) of its own, found "
                        + measure.gauge()
                        + ", which feature "
                        + other
                        + " has"));
    inputs.putIfAbsent(input, measure.id());
  }

  private static Item item(Fields fields, String key) {
    return fields
        .item(key)
        .orElseGet(
            () ->
                new Item(
                    fields.self().node(),
                    fields.self().path() + "." + key,
                    fields.self().problems()));
  }
}
