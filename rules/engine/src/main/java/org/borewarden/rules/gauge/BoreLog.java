package org.borewarden.rules.gauge;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;

/**
 * The bores since the last good ring check, newest first: adding one costs the same however many
 * there are, and a log is never changed. It keeps at least {@link #LIMIT} bores; older ones go, and
 * the log says so.
 */
public final class BoreLog {
  /** The bores that are kept at least. */
  public static final int LIMIT = 1_000;

  /** No bore. */
  public static final BoreLog EMPTY = new BoreLog(Optional.empty(), 0, Optional.empty(), false);

  private record Node(LoggedBore bore, Optional<Node> older) {
    /** Not by the chain: it may be thousands long. */
    @Override
    public boolean equals(Object other) {
      return other instanceof Node that && bore.equals(that.bore);
    }

    @Override
    public int hashCode() {
      return bore.hashCode();
    }
  }

  private final Optional<Node> newest;
  private final int count;
  private final Optional<Node> before;
  private final boolean cut;

  private BoreLog(Optional<Node> newest, int count, Optional<Node> before, boolean cut) {
    this.newest = newest;
    this.count = count;
    this.before = before;
    this.cut = cut;
  }

  /**
   * One bore more.
   *
   * @param bore the bore
   * @return the log with it
   */
  public BoreLog with(LoggedBore bore) {
    if (count == LIMIT) {
      return new BoreLog(
          Optional.of(new Node(bore, Optional.empty())), 1, newest, cut || before.isPresent());
    }
    return new BoreLog(Optional.of(new Node(bore, newest)), count + 1, before, cut);
  }

  /**
   * The log without some bores, for the rare case that one is taken back.
   *
   * @param gone which
   * @return the log without them
   */
  public BoreLog without(Predicate<LoggedBore> gone) {
    BoreLog kept = EMPTY;
    for (LoggedBore bore : bores()) {
      if (!gone.test(bore)) {
        kept = kept.with(bore);
      }
    }
    return new BoreLog(kept.newest, kept.count, kept.before, cut || kept.cut);
  }

  /**
   * All bores that are kept.
   *
   * @return oldest first
   */
  public List<LoggedBore> bores() {
    List<LoggedBore> all = new ArrayList<>();
    add(newest, all);
    add(before, all);
    Collections.reverse(all);
    return all;
  }

  private static void add(Optional<Node> from, List<LoggedBore> all) {
    for (Optional<Node> at = from; at.isPresent(); at = at.get().older()) {
      all.add(at.get().bore());
    }
  }

  /**
   * How many bores are kept.
   *
   * @return 0 or more
   */
  public int size() {
    return count + (before.isPresent() ? LIMIT : 0);
  }

  /**
   * Whether older bores than those that are kept belong here.
   *
   * @return true where some went
   */
  public boolean isCut() {
    return cut;
  }

  @Override
  public boolean equals(Object other) {
    return other instanceof BoreLog that
        && count == that.count
        && cut == that.cut
        && before.isPresent() == that.before.isPresent()
        && bores().equals(that.bores());
  }

  @Override
  public int hashCode() {
    return 31 * size() + newest.hashCode();
  }

  @Override
  public String toString() {
    return "BoreLog[" + size() + " bores, newest " + newest.map(Node::bore) + "]";
  }
}
