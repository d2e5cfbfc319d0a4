package org.borewarden.rules.part;

import java.time.Duration;
import java.util.List;
import java.util.Optional;

/**
 * How a bore is measured: one reading at each place, in this order, unless the gauge names the
 * place by its input.
 *
 * @param places where, 1 to 100, each once
 * @param size which size is held against the limits
 * @param follow which size the watches follow where every place is judged
 * @param time how long a bore may take from its first reading on
 * @param form the limits of form
 */
public record Plan(
    List<Place> places, SizeRule size, Follow follow, Duration time, Optional<FormRules> form) {
  /** The most places of one bore. */
  public static final int MOST_PLACES = 100;

  /**
   * Copies the list and checks the places.
   *
   * @throws IllegalArgumentException when there are none or too many, one stands twice, some have
   *     inputs and others none, or the form cannot be seen from them
   */
  public Plan {
    places = List.copyOf(places);
    Check.range("the places of a plan", places.size(), 1, MOST_PLACES);
    Check.unique("place", places.stream().map(Place::key).toList());
    List<Optional<String>> inputs = places.stream().map(Place::input).toList();
    if (inputs.stream().anyMatch(Optional::isPresent)) {
      Check.unique("input of a place", inputs);
    }
    if (time.isNegative() || time.isZero()) {
      throw new IllegalArgumentException("the time of a plan must be above 0");
    }
    for (FormLimit limit : form.map(FormRules::limits).orElse(List.of())) {
      Optional<String> lacks = lacks(places, limit.kind());
      if (lacks.isPresent()) {
        throw new IllegalArgumentException(limit.kind().key() + " needs " + lacks.get());
      }
    }
  }

  /**
   * What is missing in places for a kind of form to be seen from them.
   *
   * @param places the places
   * @param kind the kind of form
   * @return in words; empty where nothing is
   */
  public static Optional<String> lacks(List<Place> places, FormKind kind) {
    if (kind.acrossAngles() && places.stream().map(Place::angle).distinct().count() < 2) {
      return Optional.of("two or more angles at a depth");
    }
    if (kind.alongDepth()) {
      for (String depth : List.of("entry", "end")) {
        if (places.stream().noneMatch(place -> place.depth().equals(depth))) {
          return Optional.of("the depth " + depth);
        }
      }
    }
    if (kind.needsMid() && places.stream().noneMatch(place -> place.depth().equals("mid"))) {
      return Optional.of("the depth mid");
    }
    return places.size() < 2 ? Optional.of("two or more places") : Optional.empty();
  }

  /**
   * Whether the gauge names the place of a reading by its input.
   *
   * @return true where the places have inputs
   */
  public boolean byInput() {
    return places.get(0).input().isPresent();
  }
}
