package org.borewarden.agent.journal;

import java.util.Optional;

/**
 * What a walk over a whole journal found.
 *
 * @param journalId the journal's id
 * @param entries the entries that could be read
 * @param firstSeq the lowest seq seen
 * @param lastSeq the highest seq seen
 * @param brokenLinks entries that are changed, missing before, or not to be read
 * @param first the first of them
 * @param outbox entries that the broker has not acknowledged
 * @param aside entries that the broker refused
 */
public record VerifyReport(
    String journalId,
    long entries,
    long firstSeq,
    long lastSeq,
    long brokenLinks,
    Optional<Broken> first,
    long outbox,
    long aside) {

  /**
   * Whether nothing is wrong.
   *
   * @return true when each link holds
   */
  public boolean whole() {
    return brokenLinks == 0;
  }

  /**
   * A place where the chain does not hold.
   *
   * @param seq the entry
   * @param what what is wrong there
   */
  public record Broken(long seq, String what) {}
}
