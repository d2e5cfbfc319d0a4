package org.borewarden.rules.file;

import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Limits;

/** Reads the limits of a feature: deviations from the nominal, or sizes. */
final class LimitsReader {
  /**
   * The farthest that a limit may lie from the nominal. Beyond it a size was written where a
   * deviation was meant, or the unit is wrong.
   */
  static final Length FARTHEST = new Length(10_000_000_000L);

  private final Optional<Written> nominal;
  private final Optional<Item> lower;
  private final Optional<Item> upper;

  private LimitsReader(Optional<Written> nominal, Optional<Item> lower, Optional<Item> upper) {
    this.nominal = nominal;
    this.lower = lower;
    this.upper = upper;
  }

  static Optional<Limits> read(Fields feature, Optional<Written> nominal) {
    boolean deviations = feature.has("upper") || feature.has("lower");
    if (deviations && feature.has("limits")) {
      return feature.refuse(
          "limits", "expected either upper and lower (deviations) or limits (sizes), found both");
    }
    if (deviations) {
      return new LimitsReader(nominal, feature.item("lower"), feature.item("upper"))
          .limits(Sizes.deviation(), nominal.map(Written::length));
    }
    Optional<Item> sizes = feature.item("limits");
    if (sizes.isEmpty()) {
      return feature.missing("upper", "upper or lower (deviations), or limits (sizes)");
    }
    return sizes
        .flatMap(item -> Fields.open(item, RulesKeys.LIMITS))
        .flatMap(fields -> sizes(fields, nominal));
  }

  private static Optional<Limits> sizes(Fields fields, Optional<Written> nominal) {
    if (!fields.has("min") && !fields.has("max")) {
      return fields.self().refuse("expected min, max or both, found neither");
    }
    return new LimitsReader(nominal, fields.item("min"), fields.item("max"))
        .limits(
            Sizes.size(FeatureReader.SMALLEST, FeatureReader.LARGEST), Optional.of(Length.ZERO));
  }

  /** The limits, where each is counted from {@code from}. */
  private Optional<Limits> limits(Reader<Written> reader, Optional<Length> from) {
    Optional<Length> low = lower.flatMap(item -> limit(item, reader, from));
    Optional<Length> high = upper.flatMap(item -> limit(item, reader, from));
    if (low.isPresent() != lower.isPresent() || high.isPresent() != upper.isPresent()) {
      return Optional.empty();
    }
    if (low.isPresent() && high.isPresent() && !low.get().isBelow(high.get())) {
      String most = upper.map(Item::found).orElse("");
      return lower.flatMap(item -> item.expected("less than the upper limit, " + most));
    }
    return Optional.of(new Limits(low, high));
  }

  private Optional<Length> limit(Item item, Reader<Written> reader, Optional<Length> from) {
    Optional<Written> written = reader.read(item);
    if (written.isEmpty() || nominal.isEmpty() || from.isEmpty()) {
      return Optional.empty();
    }
    if (!written.get().inTheSystemOf(nominal.get())) {
      return item.expected("the nominal's system of units, " + nominal.get().system());
    }
    Length limit = from.get().plus(written.get().length());
    Length off = limit.minus(nominal.get().length());
    if (off.isAbove(FARTHEST) || off.isBelow(new Length(-FARTHEST.picometres()))) {
      String most = ShownLength.size(FARTHEST, Unit.MILLIMETRE);
      return item.expected(
          "a limit at most " + most + " from the nominal (a size stands under limits)");
    }
    return Optional.of(limit);
  }

  /** The centre: as given, else the middle of the limits, else none. */
  static Optional<Length> centre(
      Fields feature, Optional<Limits> limits, Optional<Written> nominal) {
    Optional<Written> given =
        feature.optional("centre", Sizes.size(FeatureReader.SMALLEST, FeatureReader.LARGEST));
    if (limits.isEmpty() || nominal.isEmpty()) {
      return Optional.empty();
    }
    if (feature.has("centre")) {
      return given.flatMap(centre -> checked(feature, centre, limits.get(), nominal.get()));
    }
    return limits.get().lower().flatMap(low -> limits.get().upper().map(high -> middle(low, high)));
  }

  private static Optional<Length> checked(
      Fields feature, Written centre, Limits limits, Written nominal) {
    Optional<Item> item = feature.item("centre");
    if (!centre.inTheSystemOf(nominal)) {
      return item.flatMap(i -> i.expected("the nominal's system of units, " + nominal.system()));
    }
    Length size = centre.length();
    boolean low = limits.lower().filter(size::isBelow).isPresent();
    boolean high = limits.upper().filter(size::isAbove).isPresent();
    return low || high
        ? item.flatMap(i -> i.expected("a size within the limits"))
        : Optional.of(size);
  }

  /** The middle, rounded down to the picometre. */
  private static Length middle(Length low, Length high) {
    return low.plus(new Length(Math.floorDiv(high.minus(low).picometres(), 2L)));
  }
}
