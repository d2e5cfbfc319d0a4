package org.borewarden.rules.file.yaml;

import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** Finds the known word that a person most likely meant. */
public final class Nearest {
  /** The most letters that may be wrong in a long word; in a short one, a third of it. */
  static final int MOST_EDITS = 3;

  private Nearest() {}

  /**
   * The nearest of the known words.
   *
   * @param word what was written
   * @param known the words that there are
   * @return empty where none is near
   */
  public static Optional<String> to(String word, List<String> known) {
    if (word.length() > 64) {
      return Optional.empty();
    }
    String plain = plain(word);
    int best = Math.max(1, Math.min(MOST_EDITS, plain.length() / 3)) + 1;
    Optional<String> nearest = Optional.empty();
    for (String candidate : known) {
      int edits = edits(plain, plain(candidate));
      if (edits < best) {
        best = edits;
        nearest = Optional.of(candidate);
      }
    }
    return nearest;
  }

  private static String plain(String word) {
    return word.toLowerCase(Locale.ROOT).replace("_", "").replace("-", "").replace(" ", "");
  }

  /**
   * The edit distance (Levenshtein): insertions, deletions and substitutions, one row at a time.
   */
  private static int edits(String a, String b) {
    int[] row = new int[b.length() + 1];
    for (int j = 0; j <= b.length(); j++) {
      row[j] = j;
    }
    for (int i = 1; i <= a.length(); i++) {
      int diagonal = row[0];
      row[0] = i;
      for (int j = 1; j <= b.length(); j++) {
        int swap = diagonal + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
        diagonal = row[j];
        row[j] = Math.min(swap, 1 + Math.min(row[j], row[j - 1]));
      }
    }
    return row[b.length()];
  }
}
