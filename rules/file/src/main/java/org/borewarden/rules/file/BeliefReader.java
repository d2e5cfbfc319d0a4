package org.borewarden.rules.file;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.BeliefCheck;
import org.borewarden.rules.part.BeliefCheck.Outcome;

/** Reads what is asked of a reading before it is judged. */
final class BeliefReader {
  static final Length FARTHEST = new Length(100_000_000_000L);
  static final Duration SHORTEST_BOUNCE = Duration.ofMillis(10);
  static final Duration LONGEST_BOUNCE = Duration.ofSeconds(10);
  static final int MOST_DECIMALS = 9;

  private BeliefReader() {}

  static List<BeliefCheck> read(Fields fields, boolean range) {
    List<BeliefCheck> checks = new ArrayList<>();
    fields.optional("bounce", bounce()).ifPresent(checks::add);
    fields.optional("other-unit", outcome()).map(BeliefCheck.OtherUnit::new).ifPresent(checks::add);
    Optional<Outcome> head = fields.optional("head-range", outcome());
    if (head.isPresent() && !range) {
      fields.refuse("head-range", "expected from or to at the gauge, found neither");
    }
    head.map(BeliefCheck.HeadRange::new).ifPresent(checks::add);
    fields.optional("window", window()).ifPresent(checks::add);
    fields.optional("digits", digits()).ifPresent(checks::add);
    return List.copyOf(checks);
  }

  private static Reader<Outcome> outcome() {
    return Scalars.word(Arrays.asList(Outcome.values()), o -> o.name().toLowerCase(Locale.ROOT));
  }

  private static Reader<BeliefCheck> window() {
    return Reader.of(
        "a mapping with within",
        item ->
            Fields.open(item, RulesKeys.WINDOW)
                .flatMap(
                    fields -> {
                      Outcome then = fields.orElse("then", outcome(), Outcome.WITHHOLD);
                      return fields
                          .required("within", Sizes.positive(FARTHEST, "1 mm"))
                          .map(within -> new BeliefCheck.Window(within, then));
                    }));
  }

  private static Reader<BeliefCheck> digits() {
    return Reader.of(
        "a mapping with decimals",
        item ->
            Fields.open(item, RulesKeys.DIGITS)
                .flatMap(
                    fields -> {
                      Outcome then = fields.orElse("then", outcome(), Outcome.CAUTION);
                      return fields
                          .required("decimals", Scalars.whole(0, MOST_DECIMALS))
                          .map(decimals -> new BeliefCheck.Digits(decimals, then));
                    }));
  }

  private static Reader<BeliefCheck> bounce() {
    return Reader.of(
        "a mapping with within",
        item ->
            Fields.open(item, RulesKeys.BOUNCE)
                .flatMap(
                    fields -> {
                      Outcome then = fields.orElse("then", outcome(), Outcome.REJECT);
                      return fields
                          .required("within", Scalars.duration(SHORTEST_BOUNCE, LONGEST_BOUNCE))
                          .map(within -> new BeliefCheck.Bounce(within, then));
                    }));
  }
}
