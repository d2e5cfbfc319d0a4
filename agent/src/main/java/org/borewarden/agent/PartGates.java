package org.borewarden.agent;

import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Predicate;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Event;

/**
 * Listens at the door to what the cells say on the way to the loop, so that the capture of a stream
 * knows whether a part is in front of the gauge. A cell that is not heard has none there.
 * Thread-safe.
 */
final class PartGates implements EventSink, Predicate<String> {
  private final EventSink door;
  private final Map<String, Boolean> partAtGauge = new ConcurrentHashMap<>();

  PartGates(EventSink door) {
    this.door = door;
  }

  @Override
  public void put(Event event) throws InterruptedException {
    hear(event);
    door.put(event);
  }

  @Override
  public boolean offer(Event event) {
    hear(event);
    return door.offer(event);
  }

  private void hear(Event event) {
    if (event instanceof Event.CellReported reported) {
      partAtGauge.put(reported.cell(), reported.report().partAtGauge());
    } else if (event instanceof Event.LinkChanged changed && !changed.up()) {
      partAtGauge.put(changed.cell(), false);
    }
  }

  @Override
  public boolean test(String cell) {
    return partAtGauge.getOrDefault(cell, false);
  }
}
