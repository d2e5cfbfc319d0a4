package org.borewarden.rules.watch;

import org.borewarden.rules.stat.ValueCounts;

/**
 * What is counted for the capability of a form, over whole tool lives as {@link CapabilityState}
 * counts sizes.
 *
 * @param lives the whole lives
 * @param all the form of the bores of whole lives, picometres
 * @param over of these those over the limit
 * @param fromItsBeginning whether a tool change began the life under way
 * @param life the form of the bores of the life under way
 * @param lifeOver of these those over the limit
 * @param lastPart the part of the last bore; without meaning while there is none
 */
public record FormState(
    int lives,
    ValueCounts all,
    long over,
    boolean fromItsBeginning,
    ValueCounts life,
    long lifeOver,
    long lastPart)
    implements WatchState {
  static final FormState NONE =
      new FormState(0, ValueCounts.NONE, 0, false, ValueCounts.NONE, 0, 0);

  /** The same whole lives, and a life that begins. */
  FormState begun(boolean atItsBeginning) {
    return new FormState(lives, all, over, atItsBeginning, ValueCounts.NONE, 0, 0);
  }
}
