package org.borewarden.rules.bore;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.stat.ExactMoments;

/**
 * The form of a bore from the sizes at its places. Differences of sizes, so that an error of the
 * gauge that is the same everywhere cancels. Signs and words as the trade uses them (common
 * practice, no source); SR and SQ from ISO 14405-1, from memory.
 */
public final class Form {
  private final List<Place> places;
  private final long[] exact;
  private final double[] sizes;

  /**
   * The sizes at the places.
   *
   * @param places the places
   * @param sizes the size at each of them
   * @throws IllegalArgumentException when there is not one size for each place
   */
  public Form(List<Place> places, List<Length> sizes) {
    if (places.isEmpty() || places.size() != sizes.size()) {
      throw new IllegalArgumentException("expected a size for each place");
    }
    this.places = List.copyOf(places);
    long first = sizes.get(0).picometres();
    this.exact = sizes.stream().mapToLong(s -> s.picometres() - first).toArray();
    this.sizes = LongStream.of(exact).asDoubleStream().toArray();
  }

  /**
   * One kind of form.
   *
   * @param kind which
   * @return its value, rounded to the picometre; negative only for barrel and hourglass
   */
  public Length of(FormKind kind) {
    double value =
        switch (kind) {
          case OVALITY -> worst(true);
          case ROUNDNESS -> worst(true) / 2;
          case LOBING -> worst(false);
          case TAPER -> Math.abs(taper());
          case BARREL -> barrel();
          case HOURGLASS -> -barrel();
          case BELL_MOUTH -> Math.max(bellMouth("entry"), bellMouth("end"));
          case SR -> range(IntStream.range(0, sizes.length).mapToDouble(i -> sizes[i]));
          case SQ -> deviation();
        };
    return new Length(Math.round(value));
  }

  /**
   * The ovality at one depth.
   *
   * @param depth the depth
   * @return rounded to the picometre
   */
  public Length ovality(String depth) {
    return new Length(Math.round(across(depth, true)));
  }

  /**
   * Taper with its sign.
   *
   * @return mean at the entry less mean at the end, picometres
   */
  public double taper() {
    return mean("entry") - mean("end");
  }

  /**
   * Barrel with its sign: negative is an hourglass.
   *
   * @return picometres
   */
  public double barrel() {
    return mean("mid") - (mean("entry") + mean("end")) / 2;
  }

  /**
   * Bell mouth at one face.
   *
   * @param face {@code entry} or {@code end}
   * @return mean at the face less mean at mid, picometres
   */
  public double bellMouth(String face) {
    return mean(face) - mean("mid");
  }

  private double worst(boolean harmonic) {
    return places.stream()
        .map(Place::depth)
        .distinct()
        .mapToDouble(depth -> across(depth, harmonic))
        .max()
        .orElse(0);
  }

  private double across(String depth, boolean harmonic) {
    List<Integer> at = at(depth);
    List<Integer> angles = at.stream().map(i -> places.get(i).angle()).sorted().toList();
    if (harmonic && angles.equals(List.of(0, 60, 120))) {
      return secondHarmonic(at);
    }
    return range(at.stream().mapToDouble(i -> sizes[i]));
  }

  /** C = (2/3) sum D cos 2t, S likewise: three angles give three unknowns exactly. */
  private double secondHarmonic(List<Integer> at) {
    double cosine = 0;
    double sine = 0;
    for (int i : at) {
      double twice = Math.toRadians(2.0 * places.get(i).angle());
      cosine += sizes[i] * Math.cos(twice);
      sine += sizes[i] * Math.sin(twice);
    }
    return 2 * Math.hypot(cosine, sine) * 2 / 3;
  }

  private double mean(String depth) {
    return at(depth).stream().mapToDouble(i -> sizes[i]).average().orElseThrow();
  }

  private List<Integer> at(String depth) {
    List<Integer> at = new ArrayList<>();
    for (int i = 0; i < places.size(); i++) {
      if (places.get(i).depth().equals(depth)) {
        at.add(i);
      }
    }
    return at;
  }

  private static double range(DoubleStream values) {
    double[] sorted = values.sorted().toArray();
    return sorted[sorted.length - 1] - sorted[0];
  }

  private double deviation() {
    ExactMoments moments = ExactMoments.NONE;
    for (long size : exact) {
      moments = moments.plus(size);
    }
    return moments.standardDeviation();
  }
}
