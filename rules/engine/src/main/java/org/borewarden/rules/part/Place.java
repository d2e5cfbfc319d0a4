package org.borewarden.rules.part;

import java.util.Optional;

/**
 * Where one reading of a plan is taken.
 *
 * @param depth the depth's name; {@code entry}, {@code mid} and {@code end} are those that limits
 *     of form speak of
 * @param angle the angle in degrees, 0 to 179
 * @param input the gauge's input that reads here, where a gauge has one for each place
 */
public record Place(String depth, int angle, Optional<String> input) {
  /** The longest name of a depth. */
  public static final int LONGEST_DEPTH = 32;

  /**
   * Checks name and angle.
   *
   * @throws IllegalArgumentException when the depth is no name or the angle out of its range
   */
  public Place {
    Check.name("a depth", depth);
    Check.range("an angle", angle, 0, 179);
  }

  /**
   * The place in payloads and messages.
   *
   * @return for example {@code entry/90}
   */
  public String key() {
    return depth + "/" + angle;
  }
}
