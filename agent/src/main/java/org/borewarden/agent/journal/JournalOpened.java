package org.borewarden.agent.journal;

import java.nio.file.Path;
import java.util.Optional;

/**
 * What was found when the journal was opened.
 *
 * @param id the journal's id, a UUID in text
 * @param lastSeq the highest seq stored; 0 for none
 * @param fresh whether the journal was begun just now
 * @param cleanStop whether the writer before us stopped in order, with everything written; true for
 *     a fresh journal only when nothing was set aside
 * @param setAside the damaged journal that was put away, if so; then no permit may be given until a
 *     person has seen it
 */
public record JournalOpened(
    String id, long lastSeq, boolean fresh, boolean cleanStop, Optional<SetAside> setAside) {

  /**
   * A damaged journal that was put away whole.
   *
   * @param folder where it is now
   * @param why what was wrong with it
   */
  public record SetAside(Path folder, String why) {}
}
