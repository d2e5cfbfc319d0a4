package org.borewarden.agent.hold.modbus;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Event;

/** An inbox that keeps what came, and can be full. */
final class Recorder implements EventSink {
  private final List<Event> events = new CopyOnWriteArrayList<>();
  private volatile boolean full;

  void full(boolean now) {
    full = now;
  }

  @Override
  public void put(Event event) {
    throw new AssertionError("the beat must not wait for the inbox");
  }

  @Override
  public boolean offer(Event event) {
    return !full && events.add(event);
  }

  <T> List<T> all(Class<T> type) {
    return events.stream().filter(type::isInstance).map(type::cast).toList();
  }

  List<Boolean> links() {
    return all(Event.LinkChanged.class).stream().map(Event.LinkChanged::up).toList();
  }

  List<Command> commands() {
    return all(Event.CommandGiven.class).stream().map(Event.CommandGiven::command).toList();
  }

  List<CellReport> reports() {
    return all(Event.CellReported.class).stream().map(Event.CellReported::report).toList();
  }

  Optional<CellReport> report() {
    List<CellReport> reports = reports();
    return reports.isEmpty() ? Optional.empty() : Optional.of(reports.get(reports.size() - 1));
  }
}
