package org.borewarden.rules.file;

import java.math.BigDecimal;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.uncertainty.Component;
import org.borewarden.rules.uncertainty.Component.Evaluation;
import org.borewarden.rules.uncertainty.Component.Kind;
import org.borewarden.rules.uncertainty.Shape;

/** Reads one component of a budget: exactly one of the ways in which it can be stated. */
final class ComponentReader {
  private static final Map<String, Set<String>> BESIDE =
      Map.of(
          "U", Set.of("k", "degrees-of-freedom"),
          "standard", Set.of("degrees-of-freedom", "sensitivity"),
          "within", Set.of("shape", "degrees-of-freedom", "sensitivity"),
          "s", Set.of("readings", "mean-of"),
          "step", Set.of());

  /** In the order in which messages list them. */
  private static final List<String> WAYS = List.of("U", "standard", "within", "s", "step");

  private static final int LONGEST_NAME = 40;
  private static final int MOST_READINGS = 10_000;
  private static final Pattern PER_KELVIN = Pattern.compile("(.+[^ ]) ?/ ?K");

  private final Fields fields;

  ComponentReader(Fields fields) {
    this.fields = fields;
  }

  Optional<Component> component() {
    Optional<String> name = fields.required("name", Scalars.text(LONGEST_NAME));
    List<String> ways = WAYS.stream().filter(fields::has).toList();
    if (ways.size() != 1) {
      return ways.isEmpty() && fields.hasUnknown()
          ? Optional.empty()
          : fields
              .self()
              .refuse(
                  "expected one of "
                      + String.join(", ", WAYS)
                      + ", found "
                      + (ways.isEmpty() ? "none" : String.join(" and ", ways)));
    }
    String way = ways.get(0);
    refuseOthers(way);
    Optional<Component> component = read(way, name.orElse(way)).map(this::withFreedom);
    return name.isPresent() ? component : Optional.empty();
  }

  private void refuseOthers(String way) {
    for (String key : RulesKeys.COMPONENT.known()) {
      boolean may =
          key.equals("name") || key.equals(way) || BESIDE.getOrDefault(way, Set.of()).contains(key);
      if (!may && fields.has(key)) {
        fields.refuse(key, "expected no " + key + " beside " + way);
      }
    }
  }

  private Optional<Component> read(String way, String name) {
    return switch (way) {
      case "U" -> {
        double k = UncertaintyReader.factor(fields);
        yield fields
            .required("U", UncertaintyReader.length("0.8 um"))
            .map(u -> Component.certificate(name, u, k));
      }
      case "step" ->
          fields
              .required("step", UncertaintyReader.length("1 um"))
              .map(r -> Component.resolution(name, r));
      case "s" -> repeatability(name);
      case "within" -> {
        Shape shape = fields.orElse("shape", shape(), Shape.RECTANGULAR);
        yield input("within", "1 um").map(i -> i.with(name, shape, shape.standard(i.value)));
      }
      default -> input("standard", "0.5 um").map(i -> i.with(name, Shape.NORMAL, i.value));
    };
  }

  private Optional<Component> repeatability(String name) {
    Optional<Length> deviation = fields.required("s", UncertaintyReader.length("0.6 um"));
    Optional<Integer> readings = fields.required("readings", Scalars.whole(2, MOST_READINGS));
    int meanOf = fields.orElse("mean-of", Scalars.whole(1, MOST_READINGS), 1);
    return deviation.flatMap(s -> readings.map(n -> Component.repeatability(name, s, n, meanOf)));
  }

  private Component withFreedom(Component component) {
    return fields
        .optional("degrees-of-freedom", Numbers.number("1", "100000", "9"))
        .map(nu -> component.withFreedom(nu.doubleValue()))
        .orElse(component);
  }

  /**
   * A value of a component and what it does to the size.
   *
   * @param value in picometres, or in kelvin
   * @param sensitivity picometres of size per unit of the value
   */
  private record Input(double value, double sensitivity) {
    Component with(String name, Shape shape, double standard) {
      return new Component(
          name, Kind.OTHER, Evaluation.B, shape, standard, sensitivity, Double.POSITIVE_INFINITY);
    }
  }

  /** A length with a plain sensitivity, or kelvins with one in length per kelvin. */
  private Optional<Input> input(String key, String example) {
    Optional<Item> item = fields.item(key);
    if (item.flatMap(Item::text).filter(t -> t.endsWith("K")).isPresent()) {
      Optional<Double> kelvin = item.flatMap(Numbers.kelvin("0.5 K")::read);
      Optional<Double> perKelvin = fields.required("sensitivity", perKelvin());
      return kelvin.flatMap(k -> perKelvin.map(c -> new Input(k, c)));
    }
    Optional<Length> length = item.flatMap(UncertaintyReader.length(example)::read);
    double factor =
        fields
            .orElse("sensitivity", Numbers.number("-1000", "1000", "0.5"), BigDecimal.ONE)
            .doubleValue();
    return length.map(l -> new Input(l.picometres(), factor));
  }

  private static Reader<Double> perKelvin() {
    return Reader.scalar(
        "a length per kelvin, such as \"0.7 um/K\"",
        text -> {
          Matcher matcher = PER_KELVIN.matcher(text);
          OptionalDouble found =
              matcher.matches()
                  ? Written.parse(matcher.group(1)).stream()
                      .mapToDouble(w -> w.length().picometres())
                      .findFirst()
                  : OptionalDouble.empty();
          return found.isPresent() ? Optional.of(found.getAsDouble()) : Optional.empty();
        });
  }

  private static Reader<Shape> shape() {
    List<Shape> bounded =
        Arrays.stream(Shape.values()).filter(shape -> shape != Shape.NORMAL).toList();
    return Scalars.word(bounded, Shape::key);
  }
}
