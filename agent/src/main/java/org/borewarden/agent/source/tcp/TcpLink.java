package org.borewarden.agent.source.tcp;

import java.io.IOException;
import java.net.ConnectException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.net.StandardSocketOptions;
import java.net.UnknownHostException;
import java.util.Optional;
import jdk.net.ExtendedSocketOptions;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.source.ByteLink;
import org.borewarden.agent.source.LinkException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A TCP connection to a server that gives the bytes of a serial port. A server that vanished
 * without a word is noticed by keep-alive probes after about 25 s; where the system cannot set
 * their pace, after its own time, which is usually two hours.
 */
public final class TcpLink implements ByteLink {
  private static final int KEEP_ALIVE_IDLE_SECONDS = 10;
  private static final int KEEP_ALIVE_INTERVAL_SECONDS = 5;
  private static final int KEEP_ALIVE_PROBES = 3;
  private static final Logger LOG = LoggerFactory.getLogger(TcpLink.class);

  private final PortConfig.Tcp server;
  private volatile Optional<Socket> open = Optional.empty();

  /**
   * A link that is not yet open.
   *
   * @param server the server
   */
  public TcpLink(PortConfig.Tcp server) {
    this.server = server;
  }

  @Override
  public void open() throws LinkException {
    close();
    Socket socket = new Socket();
    swap(Optional.of(socket));
    try {
      socket.setTcpNoDelay(true);
      socket.setSoTimeout(TICK_MILLIS);
      keepAlive(socket);
      socket.connect(
          new InetSocketAddress(server.host(), server.port()),
          Math.toIntExact(server.connectTimeout().toMillis()));
    } catch (IOException failed) {
      close();
      throw failure(failed);
    }
  }

  @Override
  public int read(byte[] buffer) {
    Optional<Socket> socket = open;
    if (socket.isEmpty()) {
      return -1;
    }
    try {
      return socket.get().getInputStream().read(buffer);
    } catch (SocketTimeoutException nothingCame) {
      return 0;
    } catch (IOException lost) {
      LOG.debug("Lost {}", name(), lost);
      return -1;
    }
  }

  @Override
  public void close() {
    Optional<Socket> socket = swap(Optional.empty());
    if (socket.isPresent()) {
      try {
        socket.get().close();
      } catch (IOException unclean) {
        LOG.debug("Closing {} failed", name(), unclean);
      }
    }
  }

  @Override
  public boolean isPresent() {
    return true;
  }

  @Override
  public String name() {
    return server.host() + ":" + server.port();
  }

  private synchronized Optional<Socket> swap(Optional<Socket> next) {
    Optional<Socket> before = open;
    open = next;
    return before;
  }

  private static void keepAlive(Socket socket) throws IOException {
    socket.setOption(StandardSocketOptions.SO_KEEPALIVE, true);
    if (socket.supportedOptions().contains(ExtendedSocketOptions.TCP_KEEPIDLE)) {
      socket.setOption(ExtendedSocketOptions.TCP_KEEPIDLE, KEEP_ALIVE_IDLE_SECONDS);
      socket.setOption(ExtendedSocketOptions.TCP_KEEPINTERVAL, KEEP_ALIVE_INTERVAL_SECONDS);
      socket.setOption(ExtendedSocketOptions.TCP_KEEPCOUNT, KEEP_ALIVE_PROBES);
    }
  }

  private LinkException failure(IOException failed) {
    String start = "cannot connect to " + name() + ": ";
    if (failed instanceof UnknownHostException) {
      return new LinkException("unknown-host", start + "the host name is not known");
    }
    if (failed instanceof SocketTimeoutException) {
      return new LinkException(
          "no-answer", start + "no answer within " + server.connectTimeout().toMillis() + " ms");
    }
    return failed instanceof ConnectException
        ? new LinkException("refused", start + "refused or not reachable")
        : new LinkException("unreachable", start + failed.getMessage());
  }
}
