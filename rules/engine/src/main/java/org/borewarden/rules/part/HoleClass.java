package org.borewarden.rules.part;

import java.util.Locale;
import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Parsed;

/**
 * A tolerance class of a hole, such as H7, after ISO 286-1 and -2:2010 (from open tables; the
 * standards were not read).
 *
 * @param letter its fundamental deviation
 * @param grade its IT grade
 */
public record HoleClass(Letter letter, int grade) {
  private static final long UM = 1_000_000L;

  /** The fundamental deviation: where the tolerance lies against the nominal size. */
  public enum Letter {
    /** Free running, above nominal. */
    D(8, 11),
    /** Above nominal. */
    E(7, 9),
    /** Above nominal. */
    F(6, 9),
    /** Just above nominal. */
    G(6, 7),
    /** From nominal upward. */
    H(5, 12),
    /** About nominal, from a table. */
    J(6, 8),
    /** About nominal, even on both sides; half micrometres where the tolerance is odd. */
    JS(6, 9),
    /** Transition. */
    K(6, 8),
    /** Transition. */
    M(6, 8),
    /** Below nominal. */
    N(6, 9),
    /** Below nominal. */
    P(6, 9);

    private final int firstGrade;
    private final int lastGrade;

    Letter(int firstGrade, int lastGrade) {
      this.firstGrade = firstGrade;
      this.lastGrade = lastGrade;
    }

    boolean hasGrade(int grade) {
      return grade >= firstGrade && grade <= lastGrade;
    }
  }

  /**
   * Checks that the table holds the class.
   *
   * @throws IllegalArgumentException when it does not
   */
  public HoleClass {
    if (!letter.hasGrade(grade)) {
      throw new IllegalArgumentException(unknown(letter.name() + grade));
    }
  }

  /**
   * Reads a class.
   *
   * @param name such as {@code H7} or {@code JS8}; a hole's letters are capitals
   * @return the class, or why it is none that is known here
   */
  public static Parsed<HoleClass> parse(String name) {
    for (Letter letter : Letter.values()) {
      for (int grade = letter.firstGrade; grade <= letter.lastGrade; grade++) {
        if (name.equals(letter.name() + grade)) {
          return new Parsed.Ok<>(new HoleClass(letter, grade));
        }
      }
    }
    return new Parsed.Refused<>(unknown(name), 0);
  }

  private static String unknown(String name) {
    String capitals = name.toUpperCase(Locale.ROOT);
    return "expected a hole class such as H7 (D8-D11 E7-E9 F6-F9 G6 G7 H5-H12 J6-J8 JS6-JS9 K6-K8"
        + " M6-M8 N6-N9 P6-P9), found "
        + name
        + (capitals.equals(name) ? "" : "; small letters name shafts");
  }

  /**
   * The limits of size of a hole of this class.
   *
   * @param nominal its nominal size, over 0 and up to 315 mm
   * @return both limits, or why there are none
   */
  public Parsed<Limits> limits(Length nominal) {
    int range = nominal.picometres() > 0 ? HoleTable.range(nominal.picometres()) : -1;
    if (range < 0) {
      return new Parsed.Refused<>(
          "expected a nominal size over 0 and up to " + HoleTable.LARGEST_MM + " mm", 0);
    }
    long tolerance = HoleTable.tolerance(range, grade) * UM;
    long upper = upperDeviation(range, tolerance);
    return new Parsed.Ok<>(
        new Limits(
            Optional.of(nominal.plus(new Length(upper - tolerance))),
            Optional.of(nominal.plus(new Length(upper)))));
  }

  /** ES in picometres; EI is always the tolerance below it. */
  private long upperDeviation(int range, long tolerance) {
    return switch (letter) {
      case D -> HoleTable.D[range] * UM + tolerance;
      case E -> HoleTable.E[range] * UM + tolerance;
      case F -> HoleTable.F[range] * UM + tolerance;
      case G -> HoleTable.G[range] * UM + tolerance;
      case H -> tolerance;
      case J -> HoleTable.upperOfJ(range, grade) * UM;
      case JS -> tolerance / 2;
      case K -> (HoleTable.K[range] + HoleTable.delta(range, grade)) * UM;
      case M -> upperOfM(range) * UM;
      case N -> upperOfN(range) * UM;
      case P -> upperOfP(range) * UM;
    };
  }

  private int upperOfM(int range) {
    // ISO 286-1 sets M6 over 250 up to 315 mm to -9, where the rule would give -11.
    boolean special = grade == 6 && range == HoleTable.M.length - 1;
    return special ? -9 : HoleTable.M[range] + HoleTable.delta(range, grade);
  }

  private int upperOfN(int range) {
    // Coarser than IT8 the deviation is 0, save up to 3 mm.
    boolean coarse = grade > HoleTable.LAST_DELTA_GRADE && range > 0;
    return coarse ? 0 : HoleTable.N[range] + HoleTable.delta(range, grade);
  }

  private int upperOfP(int range) {
    // The delta applies up to IT7 only.
    return HoleTable.P[range] + (grade <= 7 ? HoleTable.delta(range, grade) : 0);
  }
}
