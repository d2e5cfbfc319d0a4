package org.borewarden.agent.intake;

import org.borewarden.rules.engine.Event;

/** Where adapters put what happened. Thread-safe. */
public interface EventSink {
  /**
   * Puts an event, waiting while the inbox is full: back-pressure ends at the driver's buffer.
   *
   * @param event what happened
   * @throws InterruptedException when the caller is asked to stop while it waits
   */
  void put(Event event) throws InterruptedException;

  /**
   * Puts an event if there is room; for callers that must not wait.
   *
   * @param event what happened
   * @return false when the inbox is full and the event was not taken
   */
  boolean offer(Event event);
}
