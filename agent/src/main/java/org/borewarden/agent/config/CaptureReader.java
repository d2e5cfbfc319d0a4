package org.borewarden.agent.config;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.CaptureConfig.Method;
import org.borewarden.agent.config.CaptureConfig.Within;
import org.borewarden.rules.file.Sizes;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;

/** Reads how readings are made of a stream of samples. */
final class CaptureReader {
  static final int LEAST_RATE = 10;
  static final int MOST_RATE = 2_000;
  static final int MOST_TURNS = 9;
  static final Duration SHORTEST_DWELL = Duration.ofMillis(50);
  static final Duration LONGEST_DWELL = Duration.ofSeconds(10);

  /** Fewer samples than these are stable by chance. */
  static final int LEAST_DWELL_SAMPLES = 3;

  /** One millimetre: no bore is read that coarsely. */
  static final Length MOST_SPAN = new Length(1_000_000_000L);

  private CaptureReader() {}

  static Reader<CaptureConfig> capture() {
    return Reader.of(
        "a mapping with by and rate",
        item -> Fields.open(item, AgentKeys.CAPTURE).flatMap(CaptureReader::capture));
  }

  private static Optional<CaptureConfig> capture(Fields fields) {
    Optional<String> by =
        fields.required("by", Scalars.word("stable", "smallest", "largest", "status"));
    Optional<Integer> rate = fields.required("rate", Scalars.whole(LEAST_RATE, MOST_RATE));
    Optional<Within> within = within(fields);
    Optional<String> gate = fields.optional("gate", Scalars.id());
    if (by.isEmpty() || rate.isEmpty()) {
      return Optional.empty();
    }
    boolean status = by.get().equals("status");
    if (!status && !fields.has("within") && !fields.has("gate")) {
      fields.missing("within", "within or gate, by which it is known when the gauge is in a bore");
    }
    Optional<? extends Method> method =
        switch (by.get()) {
          case "stable" -> stable(fields, rate.get());
          case "status" -> flagged(fields);
          default -> turning(fields, by.get());
        };
    return method.map(m -> new CaptureConfig(rate.get(), m, within, gate));
  }

  private static Optional<Within> within(Fields fields) {
    Optional<List<Length>> ends = fields.optional("within", Lists.of("sizes", 2, 2, Sizes.shown()));
    if (ends.isEmpty() || ends.get().size() < 2) {
      return Optional.empty();
    }
    return ends.get().get(0).isBelow(ends.get().get(1))
        ? Optional.of(new Within(ends.get().get(0), ends.get().get(1)))
        : fields.refuse("within", "expected the smaller size first, found the larger or the same");
  }

  private static Optional<Method> stable(Fields fields, int rate) {
    refuse(fields, "stable", "depth", "turns", "status");
    Optional<Length> span = fields.required("span", Sizes.positive(MOST_SPAN, "1 um"));
    Optional<Duration> dwell = fields.required("for", dwell());
    if (dwell.filter(d -> d.toMillis() * rate < LEAST_DWELL_SAMPLES * 1_000L).isPresent()) {
      return fields.refuse(
          "for",
          "expected the time of at least "
              + LEAST_DWELL_SAMPLES
              + " samples, found fewer at "
              + rate
              + " a second");
    }
    return span.flatMap(s -> dwell.map(d -> new CaptureConfig.Stable(s, d)));
  }

  private static Optional<Method> turning(Fields fields, String by) {
    refuse(fields, by, "span", "for", "status");
    int turns = fields.orElse("turns", Scalars.whole(1, MOST_TURNS), 1);
    return fields
        .required("depth", Sizes.positive(MOST_SPAN, "5 um"))
        .map(depth -> new CaptureConfig.Turning(by.equals("smallest"), depth, turns));
  }

  private static Optional<Method> flagged(Fields fields) {
    refuse(fields, "status", "span", "depth", "turns", "within", "gate");
    Optional<Duration> mean = fields.optional("for", dwell());
    return fields
        .required(
            "status",
            Lists.of("texts", 1, PortReader.MOST_STATUSES, Scalars.text(PortReader.LONGEST_STATUS)))
        .map(statuses -> new CaptureConfig.Flagged(statuses, mean));
  }

  private static void refuse(Fields fields, String by, String... keys) {
    for (String key : keys) {
      if (fields.has(key)) {
        fields.refuse(key, "expected no " + key + " where a reading is captured by " + by);
      }
    }
  }

  private static Reader<Duration> dwell() {
    return Scalars.duration(SHORTEST_DWELL, LONGEST_DWELL);
  }
}
