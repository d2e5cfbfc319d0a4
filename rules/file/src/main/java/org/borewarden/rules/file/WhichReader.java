package org.borewarden.rules.file;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Places;
import org.borewarden.rules.file.yaml.Position;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Which;

/**
 * Reads how one knows of which feature a reading is, and refuses what could be read in two ways.
 */
final class WhichReader {
  /** The longest sequence. */
  static final int MOST = 50;

  /** The widest margin: a bore so far out of its limits is another bore. */
  static final Length WIDEST = new Length(100_000_000_000L);

  private static final String SIZE = "size";
  private static final String SEQUENCE = "sequence";
  private static final String CELL = "cell";

  /** The key that belongs to each. */
  private static final Map<String, String> TAKES = Map.of(SIZE, "margin", SEQUENCE, "order");

  private WhichReader() {}

  static Reader<Which> which() {
    return Reader.of(
        "a mapping with by",
        item -> Fields.open(item, RulesKeys.WHICH).flatMap(WhichReader::which));
  }

  private static Optional<Which> which(Fields fields) {
    Optional<String> by = fields.required("by", Scalars.word(SIZE, SEQUENCE, CELL));
    if (by.isEmpty()) {
      return Optional.empty();
    }
    for (String idle : List.of("margin", "order")) {
      if (fields.has(idle) && !idle.equals(TAKES.get(by.get()))) {
        return fields.refuse(idle, "expected no " + idle + " where by is " + by.get());
      }
    }
    if (by.get().equals(CELL)) {
      return Optional.of(new Which.ByCell());
    }
    return by.get().equals(SIZE)
        ? fields.required("margin", Sizes.positive(WIDEST, "0.5 mm")).map(Which.BySize::new)
        : order(fields).map(Which.InSequence::new);
  }

  private static Optional<List<String>> order(Fields fields) {
    Optional<List<String>> order =
        fields.required("order", Lists.of("features", 2, MOST, Scalars.id()));
    return order.filter(
        ids ->
            ids.stream().distinct().count() == ids.size()
                || fields.refuse("order", "expected each feature once").isPresent());
  }

  /** Called when features and gauges are whole. */
  static void refuseUnclear(Item root, List<Feature> features, List<GaugeRules> gauges) {
    Map<String, Position> places = Places.of("", root.node()).positions();
    for (Which.Unclear unclear : Which.unclear(features, gauges)) {
      String path = "features[" + unclear.feature() + "].gauge";
      root.problems().add(places.getOrDefault(path, root.node().at()), path, unclear.expected());
    }
    for (int i = 0; i < gauges.size(); i++) {
      String path = "gauges[" + i + "].which.order";
      for (String stranger : Which.strangers(features, gauges.get(i))) {
        root.problems()
            .add(
                places.getOrDefault(path, root.node().at()),
                path,
                "expected features of this gauge, found " + stranger);
      }
    }
  }
}
