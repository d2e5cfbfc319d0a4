package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;

/**
 * What is asked about the journal itself. What is done to its files follows when the answer is
 * synced.
 */
final class JournalOrders {
  /** The entries that may be sent again by one command. */
  private static final long MOST_AGAIN = 100_000;

  private static final Condition NOT_ADOPTED =
      new Condition(Reason.JOURNAL, Optional.of("not-adopted"));

  private JournalOrders() {}

  static Reply sendAgain(Work work, Order.SendAgain again) {
    if (again.from() > again.to() || again.to() >= work.seq()) {
      return new Reply(
          AnswerCode.MALFORMED,
          "expected entries up to " + (work.seq() - 1) + ", the first before the last");
    }
    if (again.to() - again.from() >= MOST_AGAIN) {
      return new Reply(AnswerCode.OVER_LIMIT, "at most " + MOST_AGAIN + " entries at once");
    }
    return Reply.of(AnswerCode.ACCEPTED);
  }

  static Reply adopt(Work work) {
    boolean asked = false;
    for (String cell : List.copyOf(work.cells.keySet())) {
      if (work.cell(cell).hold().conditions().contains(NOT_ADOPTED)) {
        asked = true;
        Holding.clear(work, cell, NOT_ADOPTED);
      }
    }
    // A journal without cells withholds no permit; it can be adopted all the same.
    return Reply.of(asked || work.cells.isEmpty() ? AnswerCode.ACCEPTED : AnswerCode.NOTHING_HELD);
  }
}
