package org.borewarden.agent.command.local;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.SocketChannel;
import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;
import org.borewarden.agent.command.CommandReader;

/**
 * One connection: cuts lines, keeps what is to be written, and knows which answer it waits for.
 * While it waits it takes no further line. Owned by the socket's thread.
 */
final class Conversation {
  private final SocketChannel channel;
  private final SelectionKey key;
  private final Peer peer;
  private final ByteBuffer in = ByteBuffer.allocate(CommandReader.LONGEST_BYTES + 1);
  private final Deque<ByteBuffer> out = new ArrayDeque<>();
  private Optional<String> awaited = Optional.empty();
  private boolean last;
  private boolean ended;
  private long sinceNanos;

  Conversation(SocketChannel channel, SelectionKey key, Peer peer, long now) {
    this.channel = channel;
    this.key = key;
    this.peer = peer;
    this.sinceNanos = now;
  }

  Peer peer() {
    return peer;
  }

  Optional<String> awaited() {
    return awaited;
  }

  long sinceNanos() {
    return sinceNanos;
  }

  /** Whether the other end has sent all that it will. */
  boolean ended() {
    return ended;
  }

  /** Takes what came. */
  void receive(long now) throws IOException {
    int count = channel.read(in);
    ended |= count < 0;
    if (count > 0) {
      sinceNanos = now;
    }
  }

  /** The next whole line without its end, unless it waits for an answer or is about to close. */
  Optional<ByteBuffer> line() {
    if (awaited.isPresent() || last) {
      return Optional.empty();
    }
    for (int at = 0; at < in.position(); at++) {
      if (in.get(at) == '\n') {
        byte[] line = new byte[at];
        in.flip().get(line).get();
        in.compact();
        return Optional.of(ByteBuffer.wrap(line));
      }
    }
    return Optional.empty();
  }

  /** Whether there can be no line any more: it is too long. */
  boolean overfull() {
    return !in.hasRemaining();
  }

  /** Whether bytes came that end no line. */
  boolean torn() {
    return in.position() > 0;
  }

  void await(String id, long now) {
    awaited = Optional.of(id);
    sinceNanos = now;
  }

  void say(String line, long now) {
    awaited = Optional.empty();
    sinceNanos = now;
    out.add(ByteBuffer.wrap((line + "\n").getBytes(StandardCharsets.UTF_8)));
  }

  /** Closes once all is written. */
  void sayLast(String line, long now) {
    say(line, now);
    last = true;
  }

  /** Writes what the other end takes, and chooses what to wait for next; false when all is said. */
  boolean goOn() throws IOException {
    while (!out.isEmpty()) {
      channel.write(out.element());
      if (out.element().hasRemaining()) {
        key.interestOps(SelectionKey.OP_WRITE);
        return true;
      }
      out.remove();
    }
    if (last || (ended && awaited.isEmpty())) {
      return false;
    }
    key.interestOps(awaited.isPresent() ? 0 : SelectionKey.OP_READ);
    return true;
  }

  void close() {
    key.cancel();
    try {
      channel.close();
    } catch (IOException alreadyGone) {
      // Nothing is owed to a connection that cannot even be closed.
    }
  }
}
