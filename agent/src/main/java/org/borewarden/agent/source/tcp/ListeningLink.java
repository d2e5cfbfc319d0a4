package org.borewarden.agent.source.tcp;

import java.io.Closeable;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.StandardSocketOptions;
import java.net.UnknownHostException;
import java.nio.channels.ServerSocketChannel;
import java.nio.channels.SocketChannel;
import java.util.HashSet;
import java.util.Optional;
import java.util.Set;
import org.borewarden.agent.config.ListenLink;
import org.borewarden.agent.source.LinkException;
import org.borewarden.agent.source.TwoWayLink;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A port of this machine that a gauge connects to. One caller at a time, and the newest counts: a
 * gauge whose battery was changed calls again long before its old connection is known to be dead.
 * Who may not call is cut off, and told to the log once. The port stays bound from one caller to
 * the next, so that none is refused between.
 */
public final class ListeningLink implements TwoWayLink {
  private static final int MOST_TOLD = 64;
  private static final Logger LOG = LoggerFactory.getLogger(ListeningLink.class);

  private final ListenLink listen;
  private final Set<InetAddress> named = new HashSet<>();
  private final Set<InetAddress> told = new HashSet<>();
  private Optional<ServerSocketChannel> bound = Optional.empty();
  private Optional<SocketChannel> next = Optional.empty();
  private volatile Optional<OpenSocket> open = Optional.empty();

  /**
   * A link that is not yet open.
   *
   * @param listen where to listen and to whom
   * @throws IllegalArgumentException when a peer is no address in numbers
   */
  public ListeningLink(ListenLink listen) {
    this.listen = listen;
    for (String peer : listen.peers()) {
      try {
        named.add(InetAddress.getByName(peer));
      } catch (UnknownHostException e) {
        throw new IllegalArgumentException("expected an address in numbers: " + peer, e);
      }
    }
  }

  @Override
  public void open() throws LinkException {
    close();
    try {
      if (!called()) {
        throw new LinkException("waiting", "waits on " + name() + " for the gauge to connect");
      }
    } catch (IOException failed) {
      throw new LinkException(
          "cannot-listen", "cannot listen on " + name() + ": " + failed.getMessage());
    }
    SocketChannel caller = next.orElseThrow();
    next = Optional.empty();
    OpenSocket opened = new OpenSocket(caller.socket(), name());
    swap(Optional.of(opened));
    try {
      opened.set();
    } catch (IOException gone) {
      close();
      throw new LinkException("waiting", "the caller on " + name() + " hung up at once");
    }
  }

  @Override
  public int read(byte[] buffer) {
    int length = open.map(socket -> socket.read(buffer)).orElse(-1);
    return length == 0 && isCalledAgain() ? -1 : length;
  }

  @Override
  public boolean write(byte[] bytes) {
    return open.map(socket -> socket.write(bytes)).orElse(false);
  }

  @Override
  public void close() {
    swap(Optional.empty()).ifPresent(OpenSocket::close);
  }

  @Override
  public void release() {
    next.ifPresent(ListeningLink::closed);
    next = Optional.empty();
    bound.ifPresent(ListeningLink::closed);
    bound = Optional.empty();
  }

  /** Whether a caller waits. */
  @Override
  public boolean isPresent() {
    return isCalledAgain();
  }

  @Override
  public String name() {
    return listen.host() + ":" + listen.port();
  }

  private boolean isCalledAgain() {
    try {
      return called();
    } catch (IOException failed) {
      LOG.debug("Listening on {} failed", name(), failed);
      return false;
    }
  }

  /** Takes who calls; the newest of several. */
  private boolean called() throws IOException {
    ServerSocketChannel server = server();
    for (SocketChannel caller = server.accept(); caller != null; caller = server.accept()) {
      if (mayCall(caller)) {
        next.ifPresent(ListeningLink::closed);
        next = Optional.of(caller);
      } else {
        closed(caller);
      }
    }
    return next.isPresent();
  }

  private ServerSocketChannel server() throws IOException {
    if (bound.isPresent()) {
      return bound.get();
    }
    ServerSocketChannel server = ServerSocketChannel.open();
    try {
      server.setOption(StandardSocketOptions.SO_REUSEADDR, true);
      server.bind(new InetSocketAddress(listen.host(), listen.port()));
      server.configureBlocking(false);
    } catch (IOException failed) {
      closed(server);
      throw failed;
    }
    bound = Optional.of(server);
    return server;
  }

  private boolean mayCall(SocketChannel caller) throws IOException {
    if (!(caller.getRemoteAddress() instanceof InetSocketAddress from)) {
      return false;
    }
    InetAddress address = from.getAddress();
    boolean may = named.isEmpty() ? address.isLoopbackAddress() : named.contains(address);
    if (!may && told.size() < MOST_TOLD && told.add(address)) {
      LOG.warn("{}: a call from {} was refused; it is no named peer", name(), address);
    }
    return may;
  }

  private synchronized Optional<OpenSocket> swap(Optional<OpenSocket> other) {
    Optional<OpenSocket> before = open;
    open = other;
    return before;
  }

  private static void closed(Closeable socket) {
    try {
      socket.close();
    } catch (IOException unclean) {
      LOG.debug("Closing a socket failed", unclean);
    }
  }
}
