package org.borewarden.rules.file;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.PartOrder;
import org.borewarden.rules.part.Streams;

/** Reads, and says in words, how the bores of a feature are put in order and kept apart. */
final class StreamReader {
  private StreamReader() {}

  static Streams read(Fields feature) {
    PartOrder order =
        feature.orElse(
            "order",
            Scalars.word(Arrays.asList(PartOrder.values()), PartOrder::key),
            PartOrder.ARRIVAL);
    List<Streams.By> by = Arrays.asList(Streams.By.values());
    List<Streams.By> split =
        feature.orElse(
            "split-by",
            Lists.of("words", 1, by.size(), Scalars.word(by, Streams.By::key)),
            List.of());
    return new Streams(order, split);
  }

  static Optional<String> words(Feature feature) {
    String order =
        switch (feature.streams().order()) {
          case ARRIVAL -> "";
          case PART -> "watches go by the cell's part numbers; a bore without one is left out";
          case SERIAL ->
              "watches go by the digits at the end of the serial; a bore without is left out";
          case UNKNOWN -> "order unknown: watches over several bores see nothing and hold nothing";
        };
    String apart =
        feature.streams().splitBy().isEmpty()
            ? ""
            : "kept apart by "
                + String.join(
                    " and ", feature.streams().splitBy().stream().map(Streams.By::key).toList());
    String words = order + (order.isEmpty() || apart.isEmpty() ? "" : "; ") + apart;
    return words.isEmpty() ? Optional.empty() : Optional.of(words);
  }
}
