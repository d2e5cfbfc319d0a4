package org.borewarden.agent.source.tcp;

import java.io.IOException;
import java.net.ConnectException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.net.UnknownHostException;
import java.util.Optional;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.source.LinkException;
import org.borewarden.agent.source.TwoWayLink;

/** A TCP connection to a server that gives the bytes of a serial port. */
public final class TcpLink implements TwoWayLink {
  private final PortConfig.Tcp server;
  private volatile Optional<OpenSocket> open = Optional.empty();

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
    OpenSocket opened = new OpenSocket(socket, name());
    swap(Optional.of(opened));
    try {
      opened.set();
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
    return open.map(socket -> socket.read(buffer)).orElse(-1);
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
  public boolean isPresent() {
    return true;
  }

  @Override
  public String name() {
    return server.host() + ":" + server.port();
  }

  private synchronized Optional<OpenSocket> swap(Optional<OpenSocket> next) {
    Optional<OpenSocket> before = open;
    open = next;
    return before;
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
