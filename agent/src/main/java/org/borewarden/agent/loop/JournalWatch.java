package org.borewarden.agent.loop;

import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.rules.engine.Event;

/** What the scribe tells of the journal: written by its thread, read by the loop. */
final class JournalWatch {
  private static final String OUTBOX_FULL = "outbox-full";

  private final AtomicLong durable;
  private volatile Optional<String> fault = Optional.empty();
  private volatile Optional<String> full = Optional.empty();
  // What the rules were told last; loop thread only.
  private boolean ok = true;
  private boolean outboxOk = true;

  JournalWatch(long durable) {
    this.durable = new AtomicLong(durable);
  }

  void durable(long upTo) {
    durable.set(upTo);
  }

  long durable() {
    return durable.get();
  }

  void fault(Optional<String> why) {
    fault = why;
  }

  void outboxFull(Optional<String> why) {
    full = why;
  }

  /** Whether the rules were told that the journal takes what comes. */
  boolean saidToBeWell() {
    return ok;
  }

  /** That the journal fails or falls behind, or is well again; once each. */
  Optional<Event> changed(boolean hasRoom) {
    Optional<String> seen = fault;
    Optional<String> why =
        seen.isPresent() || hasRoom
            ? seen
            : Optional.of("the disk is behind; no readings are taken until it has caught up");
    if (why.isEmpty() == ok) {
      return Optional.empty();
    }
    ok = why.isEmpty();
    return Optional.of(new Event.JournalChanged(ok, why.orElse("written again")));
  }

  /** That the outbox is full, or is no more; once each. */
  Optional<Event> outboxChanged() {
    Optional<String> seen = full;
    if (seen.isEmpty() == outboxOk) {
      return Optional.empty();
    }
    outboxOk = seen.isEmpty();
    return Optional.of(
        new Event.JournalDoubted(OUTBOX_FULL, !outboxOk, seen.orElse("within its size again")));
  }
}
