package org.borewarden.rules.part;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.reading.Reading;

/**
 * How one knows of which of its features a reading of a gauge is, where it measures several and its
 * frames do not name them. What could be read in two ways is refused before it is in force: nothing
 * is guessed when a reading comes.
 */
public sealed interface Which {

  /**
   * By its size: a feature's window is its limits, widened by a margin on both sides. A size in no
   * window is of no known feature.
   *
   * @param margin how far a bore may lie outside of its limits and still be known, above 0
   */
  record BySize(Length margin) implements Which {
    /**
     * Checks the margin.
     *
     * @throws IllegalArgumentException when it is not above 0
     */
    public BySize {
      if (!margin.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("the margin of the windows must be above 0");
      }
    }

    /**
     * The sizes that are taken for a feature.
     *
     * @param feature a feature
     * @return empty where it has only one limit
     */
    public Optional<SizeWindow> window(Feature feature) {
      return feature
          .limits()
          .lower()
          .flatMap(
              lower ->
                  feature
                      .limits()
                      .upper()
                      .map(
                          upper ->
                              new SizeWindow(
                                  feature.id(), lower.minus(margin), upper.plus(margin))));
    }
  }

  /**
   * One after the other, and then the next part.
   *
   * @param features the features in their order, at least two
   */
  record InSequence(List<String> features) implements Which {
    /**
     * Copies the list.
     *
     * @throws IllegalArgumentException when it names fewer than two, or one twice
     */
    public InSequence {
      features = List.copyOf(features);
      Check.unique("feature of a sequence", features);
      if (features.size() < 2) {
        throw new IllegalArgumentException("a sequence has at least two features");
      }
    }
  }

  /** By what the cell says is in front of the gauge; while it names none, of no known feature. */
  record ByCell() implements Which {}

  /**
   * What could be read in two ways.
   *
   * @param feature the place in the list of features of the one at which it shows
   * @param expected what was expected there
   */
  record Unclear(int feature, String expected) {}

  /**
   * Looks for what could be read in two ways. Features of a gauge of which nothing is said must
   * differ in their inputs, which is not looked at here.
   *
   * @param features the features of a file, in order
   * @param gauges what is said of the gauges
   * @return what is unclear, in the order of the features
   */
  static List<Unclear> unclear(List<Feature> features, List<GaugeRules> gauges) {
    List<Unclear> unclear = new ArrayList<>();
    for (int i = 0; i < features.size(); i++) {
      Feature feature = features.get(i);
      int at = i;
      Optional<Which> which =
          gauges.stream()
              .filter(gauge -> gauge.id().equals(feature.gauge()))
              .findFirst()
              .flatMap(GaugeRules::which);
      which
          .flatMap(w -> expected(w, feature, features.subList(0, at)))
          .ifPresent(words -> unclear.add(new Unclear(at, words)));
    }
    return unclear;
  }

  /**
   * What a gauge's sequence names and the gauge does not measure.
   *
   * @param features the features of a file
   * @param gauge the gauge
   * @return ids, in the order of the sequence; empty for a gauge without one
   */
  static List<String> strangers(List<Feature> features, GaugeRules gauge) {
    List<String> own =
        features.stream().filter(f -> f.gauge().equals(gauge.id())).map(Feature::id).toList();
    return gauge
        .which()
        .filter(InSequence.class::isInstance)
        .map(which -> ((InSequence) which).features())
        .orElse(List.of())
        .stream()
        .filter(id -> !own.contains(id))
        .toList();
  }

  private static Optional<String> expected(Which which, Feature feature, List<Feature> before) {
    if (which instanceof InSequence sequence) {
      if (feature.input().isPresent()) {
        return Optional.of(
            "expected no input, since " + feature.gauge() + " measures its features in sequence");
      }
      return sequence.features().contains(feature.id())
          ? Optional.empty()
          : Optional.of("expected a place in the sequence of " + feature.gauge());
    }
    if (which instanceof ByCell) {
      return feature
          .input()
          .map(
              named ->
                  "expected no input, since the cell names the features of " + feature.gauge());
    }
    BySize bySize = (BySize) which;
    Optional<SizeWindow> own = bySize.window(feature);
    if (own.isEmpty()) {
      return Optional.of(
          "expected both limits, since " + feature.gauge() + " tells its features by their sizes");
    }
    return before.stream()
        .filter(other -> other.gauge().equals(feature.gauge()) && mayShare(other, feature))
        .flatMap(other -> bySize.window(other).stream())
        .filter(other -> !own.get().isApartFrom(other))
        .findFirst()
        .map(other -> "expected sizes apart from those of " + other.feature());
  }

  private static boolean mayShare(Feature one, Feature other) {
    return one.input().isEmpty() || other.input().isEmpty() || one.input().equals(other.input());
  }

  /**
   * Whether a feature takes a reading of its gauge by input and size.
   *
   * @param which how the gauge's features are told apart; empty by nothing but the input
   * @param feature a feature of the reading's gauge
   * @param reading the reading
   * @return false also where the gauge goes by a sequence, which has its own memory, or by its cell
   */
  static boolean takes(Optional<Which> which, Feature feature, Reading reading) {
    boolean input = feature.input().isEmpty() || feature.input().equals(reading.input());
    if (which.isEmpty() || !input) {
      return input;
    }
    return which.get() instanceof BySize bySize
        && bySize.window(feature).filter(window -> window.holds(reading.value())).isPresent();
  }
}
