package org.borewarden.rules.part;

import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.reading.Reading;

/**
 * By what a gauge itself says that its ring is on it, beside the commands of people.
 *
 * @param check marks a reading of the ring; absent where no key or input does
 * @param mastered marks that the gauge was set to its ring; absent where no key or input does
 * @param near recognises a reading of the ring by its size; absent where nothing does
 */
public record RingSigns(Optional<Mark> check, Optional<Mark> mastered, Optional<Near> near) {
  /** Only people say so. */
  public static final RingSigns NONE =
      new RingSigns(Optional.empty(), Optional.empty(), Optional.empty());

  /**
   * Checks that the marks differ. A reading that carries both says that the gauge was set.
   *
   * @throws IllegalArgumentException when each reading of the ring would say so
   */
  public RingSigns {
    if (check.isPresent() && mastered.isPresent() && mastered.get().isOnAllOf(check.get())) {
      throw new IllegalArgumentException("a ring check and a mastering must have different marks");
    }
  }

  /** What a reading says of the ring. */
  public enum Says {
    /** Nothing. */
    NOTHING,
    /** It is of the ring. */
    OF_THE_RING,
    /** The gauge was set to its ring; the value is what it was set to. */
    MASTERED
  }

  /**
   * What a reading says of the ring.
   *
   * @param reading a reading of the gauge
   * @param ring the certified size of the gauge's ring
   * @return what it says
   */
  public Says says(Reading reading, Length ring) {
    if (mastered.filter(mark -> mark.isOn(reading)).isPresent()) {
      return Says.MASTERED;
    }
    boolean marked = check.filter(mark -> mark.isOn(reading)).isPresent();
    return marked || near.filter(n -> n.window(ring).holds(reading.value())).isPresent()
        ? Says.OF_THE_RING
        : Says.NOTHING;
  }

  /**
   * A mark that a frame carries; at least one of both.
   *
   * @param input the input that the frame names
   * @param status what the gauge says of itself in it
   */
  public record Mark(Optional<String> input, Optional<String> status) {
    /**
     * Checks that it marks anything.
     *
     * @throws IllegalArgumentException when neither stands
     */
    public Mark {
      if (input.isEmpty() && status.isEmpty()) {
        throw new IllegalArgumentException("a mark is an input, a status or both");
      }
    }

    boolean isOn(Reading reading) {
      return (input.isEmpty() || input.equals(reading.input()))
          && (status.isEmpty() || status.equals(reading.status()));
    }

    /**
     * Whether each reading with another mark carries this one too.
     *
     * @param other another mark
     * @return true where the other asks for no less
     */
    public boolean isOnAllOf(Mark other) {
      return (input.isEmpty() || input.equals(other.input))
          && (status.isEmpty() || status.equals(other.status));
    }
  }

  /**
   * How near to the ring's size a reading is of the ring.
   *
   * @param within the farthest either way, above 0
   * @param clear how far all limits of the gauge's features must lie from that, above 0: no bore,
   *     however bad, shall be taken for the ring
   */
  public record Near(Length within, Length clear) {
    /**
     * Checks the lengths.
     *
     * @throws IllegalArgumentException when one is not above 0
     */
    public Near {
      if (!within.isAbove(Length.ZERO) || !clear.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("within and clear must be above 0");
      }
    }

    /**
     * The sizes that are of the ring.
     *
     * @param ring the ring's certified size
     * @return the window about it
     */
    public SizeWindow window(Length ring) {
      return new SizeWindow("", ring.minus(within), ring.plus(within));
    }

    /**
     * Whether a feature's bores could be taken for the ring.
     *
     * @param feature a feature of the gauge
     * @param ring the ring's certified size
     * @return true also where one of its limits does not stand
     */
    public boolean mayBeTakenFor(Feature feature, Length ring) {
      return feature
          .limits()
          .lower()
          .flatMap(
              lower ->
                  feature
                      .limits()
                      .upper()
                      .map(
                          upper ->
                              !new SizeWindow("", lower.minus(clear), upper.plus(clear))
                                  .isApartFrom(window(ring))))
          .orElse(true);
    }
  }
}
