package org.borewarden.rules.part;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.measure.Length;

/**
 * What is asked of a feature over a shift (metrology.md 6).
 *
 * @param feature the feature's id
 * @param firstOff what the first parts must show; absent where nothing is asked of them
 * @param sampling how often a part must be measured; absent where nobody is reminded
 * @param classes the size classes of bores within, smallest first; empty where there are none
 * @param challengeEvery how often a challenge piece must be seen as what it is; absent where nobody
 *     is reminded
 */
public record ShiftRules(
    String feature,
    Optional<FirstOff> firstOff,
    Optional<Sampling> sampling,
    List<SizeClass> classes,
    Optional<Duration> challengeEvery) {
  /** The most size classes of a feature. */
  public static final int MOST_CLASSES = 20;

  /**
   * Copies the list and checks that the classes grow.
   *
   * @throws IllegalArgumentException when two classes share a name or one does not end above the
   *     one before it
   */
  public ShiftRules {
    classes = List.copyOf(classes);
    Check.unique("size class", classes.stream().map(SizeClass::name).toList());
    for (int i = 1; i < classes.size(); i++) {
      if (!classes.get(i - 1).to().isBelow(classes.get(i).to())) {
        throw new IllegalArgumentException(
            "size class " + classes.get(i).name() + " must end above the one before it");
      }
    }
  }

  /**
   * Without challenge pieces.
   *
   * @param feature the feature's id
   * @param firstOff what the first parts must show
   * @param sampling how often a part must be measured
   * @param classes the size classes of bores within
   */
  public ShiftRules(
      String feature,
      Optional<FirstOff> firstOff,
      Optional<Sampling> sampling,
      List<SizeClass> classes) {
    this(feature, firstOff, sampling, classes, Optional.empty());
  }

  /**
   * The class of a size.
   *
   * @param size a size within its limits
   * @return the first class that does not end below it
   */
  public Optional<String> classOf(Length size) {
    return classes.stream().filter(c -> !size.isAbove(c.to())).findFirst().map(SizeClass::name);
  }

  /** What a first-off follows. */
  public enum After {
    /** Another tool or edge. */
    TOOL,
    /** A tool offset. */
    OFFSET,
    /** Another batch. */
    BATCH
  }

  /**
   * The first parts after a change: the permit is withheld until so many bores in a row lie in a
   * zone about the aim.
   *
   * @param bores how many, 1 to 20
   * @param zone how far a bore may lie from the centre (the aim), above 0
   * @param parts the parts that may be cut with the permit while they are pending, 0 to 100; the
   *     permit goes when that many were finished, and at once where the cell has no counter
   * @param after what they follow; a person may ask for them beside that
   */
  public record FirstOff(int bores, Length zone, int parts, Set<After> after) {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when one is out of its range
     */
    public FirstOff {
      after = Set.copyOf(after);
      Check.range("the bores of a first-off", bores, 1, 20);
      Check.range("the parts of a first-off", parts, 0, 100);
      if (!zone.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("the zone of a first-off must be above 0");
      }
    }
  }

  /** What asks for a bore beside the count. */
  public enum Also {
    /** Another tool or edge. */
    TOOL,
    /** The first part of a batch. */
    FIRST_OF_BATCH,
    /** The last part of a batch. */
    LAST_OF_BATCH
  }

  /**
   * How often a part must be measured, by the cell's counter of finished parts.
   *
   * @param every one of so many parts, 1 to 10 000
   * @param late how many parts more may be finished before it is overdue, 0 to 10 000
   * @param time a bore must come so long after the one before it, while parts are cut; absent where
   *     the time does not count
   * @param also what asks for a bore beside that
   * @param action what an overdue inspection does
   */
  public record Sampling(
      int every, int late, Optional<Duration> time, Set<Also> also, Action action) {
    /**
     * Checks the ranges.
     *
     * @throws IllegalArgumentException when one is out of its range
     */
    public Sampling {
      also = Set.copyOf(also);
      Check.range("sampling: parts", every, 1, 10_000);
      Check.range("sampling: late", late, 0, 10_000);
    }
  }

  /**
   * A class of sizes for selective fits.
   *
   * @param name its name, as it is marked on the part
   * @param to the largest size that belongs to it
   */
  public record SizeClass(String name, Length to) {}
}
