package org.borewarden.agent.command.local;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Event;

/** An open socket in a folder of its own, with a sink that keeps what it is given. */
final class Shop implements EventSink, AutoCloseable {
  static final Duration SOON = Duration.ofSeconds(30);
  static final String ME = System.getProperty("user.name");

  final AtomicLong nanos = new AtomicLong();
  final List<Event> events = new CopyOnWriteArrayList<>();
  final Path socket;
  final LocalCommands commands;
  volatile boolean full;

  /** A group file in which this process's user is in the given groups. */
  Shop(Path folder, Map<String, String> roles, String... mine) throws IOException {
    socket = folder.resolve("run/commands.socket");
    StringBuilder groups = new StringBuilder("daemon:x:1:\nnot a group line\n");
    for (String group : mine) {
      groups.append(group).append(":x:900:somebody,").append(ME).append('\n');
    }
    Path file = Files.writeString(folder.resolve("group"), groups, StandardCharsets.US_ASCII);
    commands =
        LocalCommands.open(
            socket,
            new GroupRoles(roles, file),
            new CommandReader(() -> Instant.parse("2026-03-02T14:05:06Z"), () -> false),
            this,
            nanos::get);
    commands.start(new Holds());
  }

  static Shop ofSetter(Path folder) throws IOException {
    return new Shop(folder, Map.of("shop-setters", "setter"), "shop-setters");
  }

  String ask(String line) throws IOException {
    try (LocalClient client = LocalClient.connect(socket)) {
      return client.ask(line, SOON);
    }
  }

  @Override
  public void put(Event event) {
    events.add(event);
  }

  @Override
  public boolean offer(Event event) {
    return !full && events.add(event);
  }

  @Override
  public void close() {
    commands.close();
  }

  private static final class Holds implements HoldsShown {
    @Override
    public Optional<String> hold(String cell) {
      return cell.equals("cell-4") ? Optional.of("{\"cell\":\"cell-4\"}") : Optional.empty();
    }

    @Override
    public Optional<String> cellTest(String cell) {
      return cell.equals("cell-4") ? Optional.of("{\"run\":0}") : Optional.empty();
    }

    @Override
    public List<String> holds() {
      return List.of("{\"cell\":\"cell-4\"}", "{\"cell\":\"cell-5\"}");
    }
  }
}
