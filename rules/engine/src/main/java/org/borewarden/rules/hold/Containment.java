package org.borewarden.rules.hold;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;

/**
 * The parts to hold back after an out-of-limit bore: every part since the last within bore of that
 * stream, the bad one, and those cut before the stop.
 *
 * @param first the first part, by its number in cutting order; absent where no bore of the stream
 *     was within yet, so that every earlier part is meant
 * @param last the last part cut before the stop
 */
public record Containment(OptionalLong first, long last) {
  /** The most parts that are listed one by one; more are said as a range. */
  public static final int MAX_LISTED = 200;

  /**
   * Checks the order.
   *
   * @throws IllegalArgumentException when first lies after last
   */
  public Containment {
    if (first.isPresent() && first.getAsLong() > last) {
      throw new IllegalArgumentException(
          "containment: expected first <= last, found " + first.getAsLong() + " and " + last);
    }
  }

  /**
   * What an out-of-limit bore asks to hold back.
   *
   * @param lastWithin the part of the stream's last within bore, if there was one
   * @param out the part of the bore that is out of limit
   * @param cutSince the parts cut after it and before the stop: at the raise those between machine
   *     and gauge, later by the cell's counter; a negative count is taken as 0
   * @return the parts
   */
  public static Containment of(OptionalLong lastWithin, long out, long cutSince) {
    OptionalLong first = lastWithin;
    if (lastWithin.isPresent()) {
      // A later part may have been measured first: the bad one is held back all the same.
      first = OptionalLong.of(Math.min(lastWithin.getAsLong() + 1, out));
    }
    return new Containment(first, out + Math.max(0, cutSince));
  }

  /**
   * The list for people, as a hold carries it.
   *
   * @param serials the serials that are known, by part number
   * @return one entry a part, its serial where known and else its number; one entry in all where
   *     the parts are too many or their beginning is not known
   */
  public List<String> words(Map<Long, String> serials) {
    if (first.isEmpty()) {
      return List.of("every part up to " + name(last, serials));
    }
    long from = first.getAsLong();
    if (last - from >= MAX_LISTED) {
      return List.of(name(from, serials) + " to " + name(last, serials));
    }
    List<String> words = new ArrayList<>();
    for (long part = from; part <= last; part++) {
      words.add(name(part, serials));
    }
    return List.copyOf(words);
  }

  private static String name(long part, Map<Long, String> serials) {
    String serial = serials.get(part);
    return serial == null ? Long.toString(part) : serial;
  }
}
