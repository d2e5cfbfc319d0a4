package org.borewarden.agent.journal;

import java.util.List;

/**
 * What could be copied of a damaged journal.
 *
 * @param journalId its id; {@code unknown} where that cannot be read
 * @param copied the entries copied
 * @param unproven of these, the entries whose link hangs on a lost one, so that the chain says
 *     nothing of them
 * @param lost the entries between the first and the last known seq that are not in the copy
 * @param unsent of the copied, those that the broker had not acknowledged
 * @param last the highest seq that any table names; entries up to there are copied or lost
 * @param namedBy the tables that name it: one alone may do so by its own damage
 * @param firstPageReplaced whether the file was read with the first page of a new journal, its own
 *     being damaged
 */
public record SalvageReport(
    String journalId,
    long copied,
    long unproven,
    List<Lost> lost,
    long unsent,
    long last,
    List<String> namedBy,
    boolean firstPageReplaced) {
  /** Copies the lists. */
  public SalvageReport {
    lost = List.copyOf(lost);
    namedBy = List.copyOf(namedBy);
  }

  /**
   * The number of entries lost.
   *
   * @return the sum over all ranges
   */
  public long lostEntries() {
    return lost.stream().mapToLong(range -> range.last() - range.first() + 1).sum();
  }

  /**
   * Entries that are lost for one reason.
   *
   * @param first the first
   * @param last the last
   * @param why what is wrong with them
   */
  public record Lost(long first, long last, String why) {
    /**
     * The range for a person.
     *
     * @return one line
     */
    public String words() {
      return (first == last ? "entry " + first : "entries " + first + " to " + last) + ": " + why;
    }
  }
}
