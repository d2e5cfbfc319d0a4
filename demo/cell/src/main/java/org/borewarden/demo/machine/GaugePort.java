package org.borewarden.demo.machine;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A serial device server with one gauge behind it: a TCP server that gives each client the bytes
 * that the gauge sends. Nobody connected means that the bytes are gone, as on a serial line.
 *
 * <p>Thread-safe. One thread accepts; sending is done by the caller's thread and does not wait for
 * slow clients beyond the system's send buffer.
 */
public final class GaugePort implements AutoCloseable {
  /** The most clients at a time; a further one is closed at once. */
  public static final int CLIENTS = 4;

  private static final Logger LOG = LoggerFactory.getLogger(GaugePort.class);

  private final ServerSocket server;
  private final List<Socket> clients = new CopyOnWriteArrayList<>();
  private final Thread acceptor;

  private GaugePort(ServerSocket server) {
    this.server = server;
    this.acceptor = new Thread(this::acceptUntilClosed, "demo-gauge-port-" + server.getLocalPort());
    acceptor.setDaemon(true);
  }

  /**
   * Opens a port on the loopback address.
   *
   * @param port the port; 0 takes a free one
   * @return the open port
   * @throws IOException when it cannot be opened
   */
  public static GaugePort open(int port) throws IOException {
    ServerSocket server = new ServerSocket();
    server.setReuseAddress(true);
    server.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
    GaugePort opened = new GaugePort(server);
    opened.acceptor.start();
    return opened;
  }

  private void acceptUntilClosed() {
    while (!server.isClosed()) {
      try {
        Socket client = server.accept();
        client.setTcpNoDelay(true);
        if (clients.size() < CLIENTS) {
          clients.add(client);
        } else {
          client.close();
        }
      } catch (IOException e) {
        LOG.debug("port {}: no longer accepting: {}", server.getLocalPort(), e.getMessage());
      }
    }
  }

  /**
   * The port that it listens on.
   *
   * @return the port
   */
  public int port() {
    return server.getLocalPort();
  }

  /**
   * How many clients are connected.
   *
   * @return 0 to {@link #CLIENTS}, as far as it was noticed
   */
  public int clients() {
    return clients.size();
  }

  /**
   * Sends a value as the gauge does: the line, then carriage return and line feed.
   *
   * @param line such as {@code 62.013 mm}
   */
  public void send(String line) {
    sendBytes((line + "\r\n").getBytes(StandardCharsets.US_ASCII));
  }

  /**
   * Sends bytes as they are: part of a frame, or junk.
   *
   * @param bytes what to send
   */
  public void sendBytes(byte[] bytes) {
    for (Socket client : clients) {
      try {
        client.getOutputStream().write(bytes);
      } catch (IOException e) {
        LOG.debug("port {}: a client went away: {}", port(), e.getMessage());
        drop(client);
      }
    }
  }

  /** Breaks every connection, as when the device server restarts. */
  public void dropClients() {
    clients.forEach(this::drop);
  }

  private void drop(Socket client) {
    clients.remove(client);
    try {
      client.close();
    } catch (IOException e) {
      LOG.debug("port {}: closing a client: {}", port(), e.getMessage());
    }
  }

  @Override
  public void close() throws IOException {
    server.close();
    dropClients();
    try {
      acceptor.join(TimeUnit.SECONDS.toMillis(1));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
    dropClients();
  }
}
