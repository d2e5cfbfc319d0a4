package org.borewarden.rules.gauge;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;

/**
 * The bores since the last good ring check. It keeps the last {@link #LIMIT}; older ones go, and
 * the log says so. Adding a bore copies the list, which the limit bounds.
 *
 * @param bores the bores that are kept, oldest first
 * @param cut whether older bores than those that are kept belong here
 */
public record BoreLog(List<LoggedBore> bores, boolean cut) {
  /** The most bores that are kept. */
  public static final int LIMIT = 1_000;

  /** No bore. */
  public static final BoreLog EMPTY = new BoreLog(List.of(), false);

  /** Copies the list. */
  public BoreLog {
    bores = List.copyOf(bores);
  }

  /**
   * One bore more.
   *
   * @param bore the bore
   * @return the log with it
   */
  public BoreLog with(LoggedBore bore) {
    boolean full = bores.size() == LIMIT;
    List<LoggedBore> more = new ArrayList<>(LIMIT);
    more.addAll(full ? bores.subList(1, LIMIT) : bores);
    more.add(bore);
    return new BoreLog(more, cut || full);
  }

  /**
   * The log without some bores: one was taken back.
   *
   * @param gone which
   * @return the log without them
   */
  public BoreLog without(Predicate<LoggedBore> gone) {
    return new BoreLog(bores.stream().filter(gone.negate()).toList(), cut);
  }

  /**
   * How many bores are kept.
   *
   * @return 0 or more
   */
  public int size() {
    return bores.size();
  }
}
