package org.borewarden.rules.watch;

/**
 * What the one-side watch remembers. All of it is state and ends with the segment; its only
 * parameter is the count in the rules.
 *
 * @param lastPart the part number of the last bore, without meaning while run and side are 0
 * @param started whether a bore was seen in this segment
 * @param side 1 above the centre, -1 below, 0 exactly on it
 * @param run the successive bores on that side; 0 on the centre
 * @param stands whether this run was found and is not yet broken
 */
public record OneSideState(long lastPart, boolean started, int side, int run, boolean stands)
    implements WatchState {
  static final OneSideState NONE = new OneSideState(0, false, 0, 0, false);
}
