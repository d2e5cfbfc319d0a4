package org.borewarden.rules.file;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.SlopePrior;

/** Reads, and says in words, what a forecast knows of the wear of earlier inserts. */
final class PriorReader {
  static final int USUAL_BORES = 5;
  private static final Length STEEPEST = new Length(1_000_000_000L);

  private PriorReader() {}

  /**
   * Reads it.
   *
   * @param minimumBores from how many bores on the forecast needs none
   * @param hasSigma whether the forecast's sigma is given
   */
  static Optional<SlopePrior> read(Item item, int minimumBores, boolean hasSigma) {
    return Fields.open(item, RulesKeys.SLOPE_PRIOR)
        .flatMap(fields -> read(fields, minimumBores, hasSigma));
  }

  private static Optional<SlopePrior> read(Fields fields, int minimumBores, boolean hasSigma) {
    int bores =
        fields.orElse(
            "minimum-bores", Scalars.whole(SlopePrior.FEWEST, WatchReader.MOST_BORES), USUAL_BORES);
    if (bores >= minimumBores) {
      fields
          .item("minimum-bores")
          .orElse(fields.self())
          .refuse("expected fewer bores than the " + minimumBores + " of the forecast itself");
    }
    return fields.has("lives") ? learnt(fields, bores) : given(fields, bores, hasSigma);
  }

  private static Optional<SlopePrior> learnt(Fields fields, int bores) {
    for (String key : List.of("slope", "error", "over")) {
      if (fields.has(key)) {
        fields.refuse(key, "expected no " + key + " beside lives, which teach it");
      }
    }
    Optional<Integer> lives = fields.required("lives", Scalars.whole(3, 20));
    return lives
        .filter(l -> fields.self().problems().none())
        .map(l -> new SlopePrior.Learnt(l, bores));
  }

  private static Optional<SlopePrior> given(Fields fields, int bores, boolean hasSigma) {
    if (!hasSigma) {
      fields.self().refuse("expected a sigma beside a slope that is given, found none");
    }
    Optional<Length> slope = fields.required("slope", Sizes.deviation()).map(Written::length);
    slope
        .filter(s -> Math.abs(s.picometres()) > STEEPEST.picometres())
        .ifPresent(
            s -> fields.refuse("slope", "expected a change per part of at most 1 mm either way"));
    Optional<Length> error = fields.required("error", Sizes.positive(STEEPEST, "0.1 um"));
    Optional<Integer> over = fields.required("over", Scalars.parts(1, WatchReader.MOST_PARTS));
    if (slope.isEmpty() || error.isEmpty() || over.isEmpty() || !fields.self().problems().none()) {
      return Optional.empty();
    }
    return Optional.of(new SlopePrior.Given(slope.get(), error.get(), over.get(), bores));
  }

  static String words(SlopePrior prior, Unit unit) {
    String from = ", from " + prior.minimumBores() + " bores on with the slope of ";
    if (prior instanceof SlopePrior.Given given) {
      return from
          + "earlier inserts, "
          + ShownLength.deviation(given.slope(), unit)
          + " a part within "
          + ShownLength.size(given.error(), unit)
          + " (1 sigma) over "
          + given.parts()
          + " parts";
    }
    return from + "the tools before, once " + ((SlopePrior.Learnt) prior).lives() + " taught it";
  }
}
