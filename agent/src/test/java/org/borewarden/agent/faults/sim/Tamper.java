package org.borewarden.agent.faults.sim;

/** What is wrong with the agent under simulation, or with its disk; each must be found out. */
enum Tamper {
  NONE,
  /** The loop takes for synced what is only handed over. */
  TAKES_APPENDED_FOR_SYNCED,
  /** The outbox gives out rows that are not synced. */
  PUBLISHES_UNSYNCED,
  /** A row is left out of the outbox now and then. */
  SKIPS_OUTBOX_ROW,
  /** A message that was lost with its connection is taken for acknowledged. */
  TAKES_LOST_FOR_ACKNOWLEDGED,
  /** A refused row is taken out of the outbox without a word. */
  FORGETS_REFUSED_ROW,
  /** Two rows of a topic change places on their way. */
  SWAPS_ROWS,
  /** After a restart the last seq is given again. */
  REISSUES_SEQ,
  /** A restart counts as a release. */
  FORGETS_LATCHED_CAUSE,
  /** An unclean stop is taken for a clean one. */
  TAKES_CRASH_FOR_CLEAN_STOP,
  /** The disk loses what it had synced. */
  LOSES_SYNCED,
  /** A permit goes only when the record of the hold is synced. */
  WITHDRAWS_LATE,
  /** A permit is given before its record is synced. */
  GRANTS_BEFORE_SYNC,
  /** A reading that meets a journal without room is dropped. */
  DROPS_WHEN_FULL,
  /** After a restart the last reading is taken once more. */
  JUDGES_TWICE,
  /** The loop is not told that the disk fails. */
  HEARS_OF_NO_FAILED_DISK,
  /** After a restart the watches begin anew. */
  FORGETS_THE_TREND
}
