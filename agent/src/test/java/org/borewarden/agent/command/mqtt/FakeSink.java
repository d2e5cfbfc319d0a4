package org.borewarden.agent.command.mqtt;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Event;

/** Takes events while it is told to. */
final class FakeSink implements EventSink {
  private final List<Event> events = new CopyOnWriteArrayList<>();
  private volatile boolean full;

  void full(boolean now) {
    full = now;
  }

  List<Event> events() {
    return events;
  }

  @Override
  public void put(Event event) {
    events.add(event);
  }

  @Override
  public boolean offer(Event event) {
    if (full) {
      return false;
    }
    events.add(event);
    return true;
  }
}
