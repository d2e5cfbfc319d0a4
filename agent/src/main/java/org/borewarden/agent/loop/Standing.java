package org.borewarden.agent.loop;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.util.List;
import org.borewarden.agent.payload.SnapshotCodec;
import org.borewarden.agent.payload.SnapshotLayout;
import org.borewarden.rules.engine.State;

/**
 * All that a start needs to go on from an entry of the journal, and so what a snapshot carries.
 *
 * @param state the state after the entry
 * @param timers the timers that stand
 * @param clean whether the entry is a stop on request in a run without a fault of our own
 * @param faulted whether an event of the run failed by a fault of our own
 */
record Standing(State state, List<PastTimer> timers, boolean clean, boolean faulted) {
  /** What a snapshot's layout must be for this agent to read it. */
  static final String LAYOUT = SnapshotLayout.of(Standing.class);

  /** Nothing has happened. */
  static final Standing INITIAL = new Standing(State.initial(), List.of(), true, false);

  Standing {
    timers = List.copyOf(timers);
  }

  String text() {
    return SnapshotCodec.write(this);
  }

  static Standing read(String text) throws JsonProcessingException {
    return SnapshotCodec.read(text, Standing.class);
  }
}
