package org.borewarden.agent.peers;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** Stands between an agent and its broker and can do what a network does. */
public final class TcpProxy implements AutoCloseable {
  private final ServerSocket server;
  private final int backend;
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();
  private volatile Mode mode;

  /** What it does with a new connection. */
  public enum Mode {
    /** Forwards both ways. */
    FORWARD,
    /** Accepts and closes at once, as a proxy before a dead broker does. */
    ACCEPT_AND_CLOSE,
    /** Accepts and says nothing. */
    MUTE
  }

  private TcpProxy(ServerSocket server, int backend, Mode mode) {
    this.server = server;
    this.backend = backend;
    this.mode = mode;
  }

  /**
   * Starts one on an ephemeral port.
   *
   * @param backend the port behind it
   * @param mode what it does
   * @return the proxy
   * @throws IOException when there is no port
   */
  public static TcpProxy start(int backend, Mode mode) throws IOException {
    TcpProxy proxy =
        new TcpProxy(new ServerSocket(0, 50, InetAddress.getLoopbackAddress()), backend, mode);
    run("proxy-accept", proxy::accept);
    return proxy;
  }

  /**
   * Where it listens.
   *
   * @return the TCP port
   */
  public int port() {
    return server.getLocalPort();
  }

  /**
   * Changes what it does with new connections.
   *
   * @param next the new mode
   */
  public void mode(Mode next) {
    mode = next;
  }

  /** How many connections were accepted and are or were forwarded or muted. */
  public int connections() {
    return sockets.size();
  }

  /** Closes every connection with a reset. */
  public void cut() {
    for (Socket socket : sockets) {
      reset(socket);
    }
  }

  private static void reset(Socket socket) {
    try {
      socket.setSoLinger(true, 0);
      socket.close();
    } catch (IOException gone) {
      // That is what is wanted.
    }
  }

  private void accept() {
    try {
      while (true) {
        Socket client = server.accept();
        sockets.add(client);
        serve(client);
      }
    } catch (IOException closed) {
      // The end of the test.
    }
  }

  private void serve(Socket client) throws IOException {
    switch (mode) {
      case ACCEPT_AND_CLOSE -> client.close();
      case MUTE -> {
        // Kept open and never read.
      }
      case FORWARD -> {
        Socket broker = new Socket(InetAddress.getLoopbackAddress(), backend);
        sockets.add(broker);
        run("proxy-up", () -> pump(client, broker));
        run("proxy-down", () -> pump(broker, client));
      }
    }
  }

  private static void pump(Socket from, Socket to) {
    byte[] bytes = new byte[8192];
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int n = in.read(bytes); n >= 0; n = in.read(bytes)) {
        out.write(bytes, 0, n);
      }
    } catch (IOException cut) {
      // Then the other side is cut too.
    }
    reset(from);
    reset(to);
  }

  private static void run(String name, Runnable work) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void close() throws IOException {
    server.close();
    cut();
  }
}
