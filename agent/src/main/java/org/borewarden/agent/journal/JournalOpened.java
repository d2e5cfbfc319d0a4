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
 * @param toAdopt why a person must adopt the journal before any permit is given, if so
 * @param ids the ids under which its entries are told; the last one is {@code id}
 */
public record JournalOpened(
    String id,
    long lastSeq,
    boolean fresh,
    boolean cleanStop,
    Optional<SetAside> setAside,
    Optional<String> toAdopt,
    JournalIds ids) {

  /**
   * A damaged journal that was put away whole.
   *
   * @param folder where it is now
   * @param why what was wrong with it
   */
  public record SetAside(Path folder, String why) {}
}
