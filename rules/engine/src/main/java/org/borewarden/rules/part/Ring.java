package org.borewarden.rules.part;

import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * A setting ring.
 *
 * @param id its name
 * @param size its certified size, which is not the size etched on it
 * @param uncertainty the certificate's expanded uncertainty, k = 2
 * @param certificate the certificate's number
 * @param calibrationDue the last day (ISO 8601) on which its certificate counts
 */
public record Ring(
    String id,
    Length size,
    Optional<Length> uncertainty,
    Optional<String> certificate,
    Optional<String> calibrationDue) {
  /** The k of {@link #uncertainty()}. */
  public static final double COVERAGE = 2;

  /**
   * Checks name and size.
   *
   * @throws IllegalArgumentException when the id is no name or a length is not above 0
   */
  public Ring {
    Check.name("the id of a ring", id);
    if (!size.isAbove(Length.ZERO)
        || uncertainty.filter(u -> !u.isAbove(Length.ZERO)).isPresent()) {
      throw new IllegalArgumentException("size and uncertainty of a ring must be above 0");
    }
  }
}
