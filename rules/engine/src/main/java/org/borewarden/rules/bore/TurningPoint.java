package org.borewarden.rules.bore;

import java.util.Optional;

/**
 * The turning point of a gauge that is rocked or swung through a bore: rocking in the axial plane
 * passes through the smallest reading, swinging across the axis through the largest.
 *
 * <p>The smallest of many noisy samples lies below the true minimum, the more samples the further;
 * so a parabola is fitted through the dip by least squares (as a short piece of any smooth curve
 * about its turning point is one) and its vertex counts. Pure; allocates little.
 */
public final class TurningPoint {
  /** The least samples on each side of the turning point. */
  public static final int LEAST_HALF_WIDTH = 3;

  private static final int ROUNDS = 8;

  private TurningPoint() {}

  /** Which way the reading turns. */
  public enum Mode {
    /** Rocking in the axial plane: the smallest reading. */
    SMALLEST,
    /** Swinging across the axis: the largest reading. */
    LARGEST
  }

  /**
   * A turning point.
   *
   * @param value the vertex, in the unit of the samples
   * @param at its place, in samples from the first
   * @param residual the standard deviation of the samples about the parabola
   * @param uncertainty the standard uncertainty of the vertex from that
   */
  public record Vertex(double value, double at, double residual, double uncertainty) {}

  /**
   * Finds the turning point of equally spaced samples.
   *
   * @param samples the samples, in any unit, best as deviations
   * @param halfWidth how many samples on each side are fitted
   * @param mode which way it turns
   * @return empty where the samples do not turn inside, or turn the other way
   * @throws IllegalArgumentException when the half width is under {@link #LEAST_HALF_WIDTH}
   */
  public static Optional<Vertex> of(double[] samples, int halfWidth, Mode mode) {
    if (halfWidth < LEAST_HALF_WIDTH) {
      throw new IllegalArgumentException(
          "expected a half width of at least " + LEAST_HALF_WIDTH + ", found " + halfWidth);
    }
    int centre = extreme(samples, mode);
    Optional<Vertex> vertex = Optional.empty();
    // The raw extreme is a noisy first guess; the window moves until the vertex is in its middle.
    for (int round = 0; round < ROUNDS; round++) {
      if (centre - halfWidth < 0 || centre + halfWidth >= samples.length) {
        return Optional.empty();
      }
      vertex = fitted(samples, centre, halfWidth, mode);
      if (vertex.isEmpty()) {
        return vertex;
      }
      int next = (int) Math.round(vertex.get().at());
      if (next == centre) {
        return vertex;
      }
      centre = next;
    }
    return vertex;
  }

  private static int extreme(double[] samples, Mode mode) {
    int found = 0;
    for (int i = 1; i < samples.length; i++) {
      boolean beats =
          mode == Mode.SMALLEST ? samples[i] < samples[found] : samples[i] > samples[found];
      found = beats ? i : found;
    }
    return found;
  }

  /** On t = -h .. h the odd sums vanish, so that the normal equations fall apart. */
  private static Optional<Vertex> fitted(double[] samples, int centre, int h, Mode mode) {
    int n = 2 * h + 1;
    double s2 = h * (h + 1.0) * n / 3;
    double s4 = s2 * (3.0 * h * h + 3 * h - 1) / 5;
    double y0 = 0;
    double y1 = 0;
    double y2 = 0;
    for (int t = -h; t <= h; t++) {
      double y = samples[centre + t];
      y0 += y;
      y1 += y * t;
      y2 += y * t * t;
    }
    double determinant = n * s4 - s2 * s2;
    double c = (n * y2 - s2 * y0) / determinant;
    double a = (s4 * y0 - s2 * y2) / determinant;
    double b = y1 / s2;
    double turn = -b / (2 * c);
    boolean rightWay = mode == Mode.SMALLEST ? c > 0 : c < 0;
    if (!rightWay || !(Math.abs(turn) <= h)) {
      return Optional.empty();
    }
    double squares = 0;
    for (int t = -h; t <= h; t++) {
      double off = samples[centre + t] - (a + b * t + c * t * t);
      squares += off * off;
    }
    double residual = Math.sqrt(squares / (n - 3));
    // At the vertex the slope is 0, so its value varies as the fitted curve there does.
    double variance =
        s4 / determinant
            + turn * turn / s2
            - 2 * turn * turn * s2 / determinant
            + Math.pow(turn, 4) * n / determinant;
    return Optional.of(
        new Vertex(
            a - b * b / (4 * c),
            centre + turn,
            residual,
            residual * Math.sqrt(Math.max(0, variance))));
  }
}
