package org.borewarden.rules.part;

/**
 * The figures of ISO 286-1:2010 for holes up to 315 mm, in whole micrometres. The standard itself
 * was not read: the figures are those that four open tables agree on, and J7 between the sizes they
 * share is from memory. One column per size range; a range is over .. up to and including.
 */
final class HoleTable {
  static final int FIRST_GRADE = 5;

  /** IT5 and up have a delta up to this grade. */
  static final int LAST_DELTA_GRADE = 8;

  private static final int[] UP_TO_MM = {3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315};

  /** The largest nominal size that the table covers. */
  static final int LARGEST_MM = UP_TO_MM[UP_TO_MM.length - 1];

  /** Standard tolerances IT5 to IT12. */
  private static final int[][] IT = {
    {4, 5, 6, 8, 9, 11, 13, 15, 18, 20, 23},
    {6, 8, 9, 11, 13, 16, 19, 22, 25, 29, 32},
    {10, 12, 15, 18, 21, 25, 30, 35, 40, 46, 52},
    {14, 18, 22, 27, 33, 39, 46, 54, 63, 72, 81},
    {25, 30, 36, 43, 52, 62, 74, 87, 100, 115, 130},
    {40, 48, 58, 70, 84, 100, 120, 140, 160, 185, 210},
    {60, 75, 90, 110, 130, 160, 190, 220, 250, 290, 320},
    {100, 120, 150, 180, 210, 250, 300, 350, 400, 460, 520}
  };

  /** Lower deviations of D to G. */
  static final int[] D = {20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190};

  static final int[] E = {14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110};
  static final int[] F = {6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56};
  static final int[] G = {2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17};

  /** Upper deviations of J6 to J8. */
  private static final int[][] J = {
    {2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25},
    {4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36},
    {6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55}
  };

  /** Upper deviations of K to P, without the delta. */
  static final int[] K = {0, -1, -1, -1, -2, -2, -2, -3, -3, -4, -4};

  static final int[] M = {-2, -4, -6, -7, -8, -9, -11, -13, -15, -17, -20};
  static final int[] N = {-4, -8, -10, -12, -15, -17, -20, -23, -27, -31, -34};
  static final int[] P = {-6, -12, -15, -18, -22, -26, -32, -37, -43, -50, -56};

  private HoleTable() {}

  /** The range that holds a size, or -1 where the table ends before it. */
  static int range(long picometres) {
    for (int range = 0; range < UP_TO_MM.length; range++) {
      if (picometres <= UP_TO_MM[range] * 1_000_000_000L) {
        return range;
      }
    }
    return -1;
  }

  static int tolerance(int range, int grade) {
    return IT[grade - FIRST_GRADE][range];
  }

  static int upperOfJ(int range, int grade) {
    return J[grade - 6][range];
  }

  /** IT(n) - IT(n-1), which K, M, N up to IT8 and P up to IT7 are moved up by; 0 up to 3 mm. */
  static int delta(int range, int grade) {
    return range == 0 || grade > LAST_DELTA_GRADE
        ? 0
        : tolerance(range, grade) - tolerance(range, grade - 1);
  }
}
