package org.borewarden.rules.part;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * What touches the bore. A head that cannot see a kind of form must not be asked for it.
 *
 * <p>Source: geometry. A diameter is the sum of two opposite radii, in which every odd harmonic of
 * the profile cancels; three contacts 120 degrees apart add up three radii, in which every harmonic
 * cancels that is no multiple of three.
 */
public enum Head {
  /** Two opposite contacts: local diameters. */
  TWO_POINT,
  /** Three contacts at 120 degrees. */
  THREE_POINT;

  /**
   * The word in files.
   *
   * @return lower case with hyphens
   */
  public String key() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /**
   * Why this head cannot see a kind of form.
   *
   * @param kind what is asked of it
   * @return in words; empty where it can
   */
  public Optional<String> cannotSee(FormKind kind) {
    if (this == TWO_POINT && kind == FormKind.LOBING) {
      return Optional.of(
          "a two-point head is blind to all odd lobes: a three-lobed bore has one diameter"
              + " everywhere");
    }
    if (this == THREE_POINT && (kind == FormKind.OVALITY || kind == FormKind.ROUNDNESS)) {
      return Optional.of(
          "a three-point head sees multiples of three lobes only: an oval bore reads the same at"
              + " every angle");
    }
    return Optional.empty();
  }

  /**
   * What this head cannot prove of a feature, for a person who reads the rules.
   *
   * @param measuring how the feature is measured
   * @return sentences, at least one
   */
  public List<String> cannotProve(Measuring measuring) {
    List<String> words = new ArrayList<>();
    if (this == TWO_POINT) {
      words.add("two-point head: odd lobes unseen");
    } else {
      words.add(
          "three-point head: ovality unseen, and its size is no two-point size of ISO 14405-1");
    }
    words.add("envelope, least-squares and inscribed size: not provable with this head");
    Optional<List<Integer>> angles =
        measuring.plan().map(p -> p.places().stream().map(Place::angle).distinct().toList());
    if (this == TWO_POINT && angles.map(a -> a.size() == 1).orElse(true)) {
      words.add("one angle: ovality unseen");
    }
    if (this == TWO_POINT && angles.map(List.of(0, 90)::equals).orElse(false)) {
      words.add("angles 0 and 90: of an ovality the part |cos 2 phi| is seen, at 45 degrees none");
    }
    return List.copyOf(words);
  }
}
