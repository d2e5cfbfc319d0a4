package org.borewarden.agent.command.local;

import java.io.IOException;
import java.nio.channels.ClosedChannelException;
import java.nio.channels.SelectionKey;
import java.nio.channels.Selector;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.SocketChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Queue;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.command.AnswerBook;
import org.borewarden.agent.command.AnswerText;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.hold.Phase;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Takes commands at a Unix domain socket: one JSON line each, one JSON line back. The kernel says
 * which user is at the other end, and the user's groups give the role.
 *
 * <p>One thread, {@code local-commands}, owns every connection; the loop's thread only leaves
 * answers in a queue.
 */
public final class LocalCommands implements AnswerBook, AutoCloseable {
  /** A further connection is told so and closed. */
  static final int MOST_CONNECTIONS = 8;

  /** A connection that says nothing for so long is closed. */
  static final long IDLE_NANOS = TimeUnit.SECONDS.toNanos(5);

  /** A connection whose answer does not come for so long is closed unanswered. */
  static final long ANSWER_NANOS = TimeUnit.SECONDS.toNanos(10);

  private static final Logger LOG = LoggerFactory.getLogger(LocalCommands.class);
  private static final long TICK_MILLIS = 250;
  private static final long CLOSE_MILLIS = 1000;

  private final Path socket;
  private final GroupRoles groups;
  private final LineDoor door;
  private final MonotonicClock clock;
  private final ServerSocketChannel server;
  private final Selector selector;
  private final List<Conversation> conversations = new ArrayList<>();
  private final Set<String> awaited = ConcurrentHashMap.newKeySet();
  private final Queue<Answer> answers = new ConcurrentLinkedQueue<>();
  private final Thread thread;
  private volatile boolean stopping;

  private record Answer(String id, String line) {}

  private LocalCommands(
      Path socket,
      GroupRoles groups,
      LineDoor door,
      MonotonicClock clock,
      ServerSocketChannel server)
      throws IOException {
    this.socket = socket;
    this.groups = groups;
    this.door = door;
    this.clock = clock;
    this.server = server;
    this.selector = Selector.open();
    server.register(selector, SelectionKey.OP_ACCEPT);
    this.thread = new Thread(this::run, "local-commands");
    this.thread.setDaemon(true);
  }

  /**
   * Opens the socket; nobody is heard before {@link #start}.
   *
   * @param socket where it lies
   * @param groups which role a group of the operating system has
   * @param reader reads commands
   * @param sink takes them
   * @param clock for durations
   * @return the open socket
   * @throws IOException when it cannot be opened; the message says why
   */
  public static LocalCommands open(
      Path socket,
      Map<String, String> groups,
      CommandReader reader,
      EventSink sink,
      MonotonicClock clock)
      throws IOException {
    return open(socket, new GroupRoles(groups, GroupRoles.GROUP_FILE), reader, sink, clock);
  }

  static LocalCommands open(
      Path socket, GroupRoles groups, CommandReader reader, EventSink sink, MonotonicClock clock)
      throws IOException {
    return new LocalCommands(
        socket, groups, new LineDoor(reader, sink, clock), clock, SocketPlace.open(socket));
  }

  /**
   * Starts the thread.
   *
   * @param holds how the holds stand
   */
  public void start(HoldsShown holds) {
    door.show(holds);
    thread.start();
  }

  @Override
  public void answer(Decision.CommandAnswered answered, long seq, Optional<Phase> phase) {
    if (awaited.remove(answered.commandId())) {
      answers.add(new Answer(answered.commandId(), AnswerText.answered(answered, seq, phase)));
      wake();
    }
  }

  /** A closed selector must not be woken. */
  private synchronized void wake() {
    if (selector.isOpen()) {
      selector.wakeup();
    }
  }

  private void run() {
    while (!stopping) {
      try {
        selector.select(conversations.isEmpty() ? 0 : TICK_MILLIS);
        if (server.isOpen() && !stopping) {
          accept();
        }
      } catch (IOException e) {
        LOG.warn("local commands: {}", e.toString());
      }
      selector.selectedKeys().clear();
      handOut();
      for (Conversation conversation : List.copyOf(conversations)) {
        serve(conversation);
      }
    }
    conversations.forEach(Conversation::close);
  }

  private void accept() throws IOException {
    SocketChannel channel = server.accept();
    if (channel == null) {
      return;
    }
    try {
      channel.configureBlocking(false);
      Peer peer = Peer.of(channel, groups);
      SelectionKey key = channel.register(selector, SelectionKey.OP_READ);
      Conversation conversation = new Conversation(channel, key, peer, clock.nanos());
      if (conversations.size() >= MOST_CONNECTIONS) {
        conversation.sayLast(LineDoor.full(MOST_CONNECTIONS), clock.nanos());
        conversation.goOn();
        conversation.close();
        return;
      }
      conversations.add(conversation);
      if (peer.roles().isEmpty()) {
        door.refuseStranger(conversation);
      }
    } catch (IOException | RuntimeException e) {
      channel.close();
      throw e instanceof IOException io ? io : new ClosedChannelException();
    }
  }

  private void handOut() {
    for (Answer answer = answers.poll(); answer != null; answer = answers.poll()) {
      Answer ready = answer;
      conversations.stream()
          .filter(conversation -> conversation.awaited().equals(Optional.of(ready.id())))
          .forEach(conversation -> conversation.say(ready.line(), clock.nanos()));
    }
  }

  private void serve(Conversation conversation) {
    try {
      if (conversation.awaited().isEmpty()) {
        conversation.receive(clock.nanos());
      }
      door.take(conversation, awaited);
      if (!conversation.goOn() || tooQuiet(conversation)) {
        end(conversation);
      }
    } catch (IOException gone) {
      LOG.debug("local commands, {}: {}", conversation.peer().user(), gone.toString());
      end(conversation);
    }
  }

  private boolean tooQuiet(Conversation conversation) {
    long most = conversation.awaited().isPresent() ? ANSWER_NANOS : IDLE_NANOS;
    return clock.nanos() - conversation.sinceNanos() > most;
  }

  private void end(Conversation conversation) {
    conversation.awaited().ifPresent(awaited::remove);
    conversation.close();
    conversations.remove(conversation);
  }

  /** Stops the thread, closes every connection and takes the socket away. Idempotent. */
  @Override
  public void close() {
    if (stopping) {
      return;
    }
    stopping = true;
    wake();
    try {
      thread.join(CLOSE_MILLIS);
      synchronized (this) {
        selector.close();
      }
      server.close();
      Files.deleteIfExists(socket);
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    } catch (IOException e) {
      LOG.warn("local commands, closing {}: {}", socket, e.toString());
    }
  }
}
