/**
 * The record of all events and decisions on the agent's disk, and what of it the broker has not
 * acknowledged.
 *
 * <p>{@link org.borewarden.agent.journal.JournalStore} is the way in. The loop appends, the scribe
 * thread is the only writer (one SQLite connection, write-ahead log, a sync before each commit
 * returns), publisher and readers have read-only connections of their own. What a listener is told
 * to be durable survives the death of the process, and a power cut if the disk honours flushes.
 *
 * <p>In the data folder: {@code agent.lock}, the folder {@code journal} with SQLite's files, and
 * {@code journal.damaged-TIME} for each journal that was put away.
 */
@NullMarked
package org.borewarden.agent.journal;

import org.jspecify.annotations.NullMarked;
