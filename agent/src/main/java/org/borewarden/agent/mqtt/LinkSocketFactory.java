package org.borewarden.agent.mqtt;

import java.net.InetAddress;
import java.net.Socket;
import java.util.Optional;
import javax.net.SocketFactory;
import javax.net.ssl.SSLContext;

/** Makes the one socket of a connection and remembers it, so that a watchdog can close it. */
final class LinkSocketFactory extends SocketFactory {
  private final String host;
  private final int port;
  private final Optional<SSLContext> tls;
  private volatile Optional<LinkSocket> made = Optional.empty();
  private volatile boolean aborted;

  LinkSocketFactory(String host, int port, Optional<SSLContext> tls) {
    this.host = host;
    this.port = port;
    this.tls = tls;
  }

  /** Closes the socket, now or as soon as it is made. May wait a moment. */
  void abort() {
    aborted = true;
    made.ifPresent(LinkSocket::abort);
  }

  @Override
  public Socket createSocket() {
    LinkSocket socket = new LinkSocket(host, port, tls);
    made = Optional.of(socket);
    if (aborted) {
      socket.abort();
    }
    return socket;
  }

  @Override
  public Socket createSocket(String ignoredHost, int ignoredPort) {
    throw new UnsupportedOperationException("the client connects its socket itself");
  }

  @Override
  public Socket createSocket(String h, int p, InetAddress localHost, int localPort) {
    throw new UnsupportedOperationException("the client connects its socket itself");
  }

  @Override
  public Socket createSocket(InetAddress h, int p) {
    throw new UnsupportedOperationException("the client connects its socket itself");
  }

  @Override
  public Socket createSocket(InetAddress h, int p, InetAddress localAddress, int localPort) {
    throw new UnsupportedOperationException("the client connects its socket itself");
  }
}
