package org.borewarden.rules.gauge;

/**
 * Two rings against each other on one gauge: before a ring takes another's place, both are
 * measured, and the difference of the readings must be the difference of the certificates.
 *
 * @param difference the measured difference less the certified one, picometres
 * @param allowed sqrt(U1^2 + U2^2 + 8 s^2/n), picometres, k = 2: each mean has s^2/n, the
 *     difference of two 2 s^2/n, and k^2 = 4
 */
public record RingExchange(double difference, double allowed) {
  /**
   * Compares.
   *
   * @param one a check of the first ring
   * @param other a check of the second ring, on the same gauge, with as many readings
   * @param noise the noise of one reading
   * @return how they agree
   * @throws IllegalArgumentException when the checks have not as many readings
   */
  public static RingExchange of(RingCheck one, RingCheck other, Noise noise) {
    int n = one.readings().size();
    if (other.readings().size() != n) {
      throw new IllegalArgumentException("expected as many readings on both rings");
    }
    double s = noise.ofReading();
    double rings = 4 * (square(one.uncertainty()) + square(other.uncertainty()));
    return new RingExchange(other.error() - one.error(), Math.sqrt(rings + 8 * square(s) / n));
  }

  private static double square(double value) {
    return value * value;
  }

  /**
   * Whether the rings agree with their certificates.
   *
   * @return true where the difference is allowed
   */
  public boolean agrees() {
    return Math.abs(difference) <= allowed;
  }

  /**
   * The error of a gauge between two rings, by a straight line through its errors on both; beyond
   * them the line goes on, and is less sure.
   *
   * @param small a check on the smaller ring
   * @param large a check on the larger ring
   * @param size the size, picometres
   * @return the error there, picometres
   * @throws IllegalArgumentException when both rings have one size
   */
  public static double errorAt(RingCheck small, RingCheck large, double size) {
    double from = small.certified().picometres();
    double to = large.certified().picometres();
    if (from == to) {
      throw new IllegalArgumentException("two rings of one size are no line");
    }
    return small.error() + (large.error() - small.error()) * (size - from) / (to - from);
  }
}
