package org.borewarden.agent.command.local;

import java.io.IOException;
import java.net.UnixDomainSocketAddress;
import java.nio.ByteBuffer;
import java.nio.channels.SelectionKey;
import java.nio.channels.Selector;
import java.nio.channels.SocketChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;

/** The other end of the socket, for the command line. Used by one thread. */
public final class LocalClient implements AutoCloseable {
  private static final int LONGEST_ANSWER = 1 << 20;

  private final SocketChannel channel;
  private final Selector selector;
  private final ByteBuffer in = ByteBuffer.allocate(LONGEST_ANSWER);

  private LocalClient(SocketChannel channel, Selector selector) {
    this.channel = channel;
    this.selector = selector;
  }

  /**
   * Connects to an agent.
   *
   * @param socket its socket
   * @return the connection
   * @throws IOException when nobody answers there
   */
  public static LocalClient connect(Path socket) throws IOException {
    SocketChannel channel = SocketChannel.open(UnixDomainSocketAddress.of(socket));
    try {
      channel.configureBlocking(false);
      Selector selector = Selector.open();
      channel.register(selector, SelectionKey.OP_READ);
      return new LocalClient(channel, selector);
    } catch (IOException e) {
      channel.close();
      throw e;
    }
  }

  /**
   * Sends a line and waits for the line that answers it.
   *
   * @param line JSON without a line end
   * @param most the longest wait
   * @return the answer without its line end
   * @throws IOException when none comes
   */
  public String ask(String line, Duration most) throws IOException {
    ByteBuffer out = ByteBuffer.wrap((line + "\n").getBytes(StandardCharsets.UTF_8));
    try {
      while (out.hasRemaining()) {
        channel.write(out);
      }
    } catch (IOException closed) {
      // Whoever has no role is told so before he asks; that answer is still to be read.
      if (in.position() == 0 && channel.read(in) <= 0) {
        throw closed;
      }
    }
    return answer(System.nanoTime() + most.toNanos(), most);
  }

  private String answer(long until, Duration most) throws IOException {
    while (true) {
      for (int at = 0; at < in.position(); at++) {
        if (in.get(at) == '\n') {
          byte[] line = new byte[at];
          in.flip().get(line).get();
          in.compact();
          return new String(line, StandardCharsets.UTF_8);
        }
      }
      long left = (until - System.nanoTime()) / 1_000_000;
      if (left <= 0) {
        throw new IOException("no answer within " + most.toSeconds() + " s");
      }
      selector.select(left);
      selector.selectedKeys().clear();
      if (channel.read(in) < 0) {
        throw new IOException("the agent closed the connection without an answer");
      }
    }
  }

  @Override
  public void close() throws IOException {
    selector.close();
    channel.close();
  }
}
