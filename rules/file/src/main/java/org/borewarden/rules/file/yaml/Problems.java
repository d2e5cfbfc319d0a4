package org.borewarden.rules.file.yaml;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Collects the problems of one file while it is read. Used by one thread.
 *
 * <p>At {@link #MOST} problems the rest is counted and told in one last line.
 */
public final class Problems {
  /** The problems that are told one by one. */
  public static final int MOST = 500;

  private final String file;
  private final List<Problem> list = new ArrayList<>();
  private int untold;

  /**
   * Starts without a problem.
   *
   * @param file the file's name, as messages shall give it
   */
  public Problems(String file) {
    this.file = file;
  }

  /**
   * Adds a problem.
   *
   * @param at where it stands
   * @param path the keys down to it
   * @param message what is wrong and what is allowed
   */
  public void add(Position at, String path, String message) {
    if (list.size() < MOST) {
      list.add(new Problem(file, at.line(), at.column(), path, message));
    } else {
      untold++;
    }
  }

  /**
   * Whether nothing is wrong.
   *
   * @return true without a problem
   */
  public boolean none() {
    return list.isEmpty();
  }

  /**
   * What is wrong, in the order in which it stands in the file.
   *
   * @return the problems, and one that counts those beyond {@link #MOST}
   */
  public List<Problem> list() {
    List<Problem> all = new ArrayList<>(list);
    all.sort(Comparator.comparingInt(Problem::line).thenComparingInt(Problem::column));
    if (untold > 0) {
      all.add(new Problem(file, 1, 1, "", untold + " more problems are not listed"));
    }
    return List.copyOf(all);
  }
}
