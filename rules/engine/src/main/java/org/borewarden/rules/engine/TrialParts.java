package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;

/**
 * Which parts of a trial gave a bore, by the cell's own numbers: a part that comes late is one of
 * them, one that was cut before the trial is not, and none counts twice.
 *
 * @param from the cell's part counter when the trial was given; empty where it has none
 * @param measured feature and part of each bore that counted
 */
record TrialParts(OptionalLong from, List<String> measured) {
  /** The bores that are remembered; one more counts no further. */
  static final int MOST = 1000;

  static final TrialParts NONE = new TrialParts(OptionalLong.empty(), List.of());

  TrialParts {
    measured = List.copyOf(measured);
  }

  static TrialParts begun(OptionalLong counter) {
    return new TrialParts(counter, List.of());
  }

  /** Whether a bore within is evidence; where nobody says of which part it is, it is. */
  boolean counts(String feature, OptionalLong part) {
    return part.isEmpty()
        || (measured.size() < MOST
            && cutInTrial(part.getAsLong())
            && !measured.contains(key(feature, part.getAsLong())));
  }

  private boolean cutInTrial(long part) {
    if (from.isEmpty()) {
      return true;
    }
    long after = Math.floorMod(part - from.getAsLong(), Cells.COUNTER);
    return after >= 1 && after <= Cells.MOST_PARTS_AT_ONCE;
  }

  TrialParts with(String feature, OptionalLong part) {
    if (part.isEmpty()) {
      return this;
    }
    List<String> more = new ArrayList<>(measured);
    more.add(key(feature, part.getAsLong()));
    return new TrialParts(from, more);
  }

  private static String key(String feature, long part) {
    return feature + "/" + part;
  }
}
