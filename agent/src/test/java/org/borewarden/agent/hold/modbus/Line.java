package org.borewarden.agent.hold.modbus;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** A cable between two TCP ends that can be made to swallow everything, or be cut. */
final class Line implements AutoCloseable {
  private final ServerSocket server;
  private final int target;
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();
  private volatile boolean swallow;
  private volatile boolean cut;

  Line(int target) throws IOException {
    this.target = target;
    this.server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    thread("line-accept", this::accept);
  }

  int port() {
    return server.getLocalPort();
  }

  /** From here on nothing comes through in either direction, and nobody is told. */
  void swallow(boolean on) {
    swallow = on;
    if (!on) {
      closeAll(); // what was swallowed is missing from those streams
    }
  }

  /** Breaks what stands and refuses what comes, until it is mended. */
  void cut(boolean on) {
    cut = on;
    if (on) {
      closeAll();
    }
  }

  private void accept() throws IOException {
    while (!server.isClosed()) {
      Socket near = server.accept();
      if (cut) {
        near.close();
        continue;
      }
      sockets.add(near);
      if (!swallow) {
        Socket far = new Socket(InetAddress.getLoopbackAddress(), target);
        far.setTcpNoDelay(true);
        near.setTcpNoDelay(true);
        sockets.add(far);
        thread("line-out", () -> pump(near, far));
        thread("line-back", () -> pump(far, near));
      }
    }
  }

  private void pump(Socket from, Socket to) throws IOException {
    byte[] buffer = new byte[4096];
    try (from;
        to) {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int n = in.read(buffer); n >= 0; n = in.read(buffer)) {
        if (!swallow) {
          out.write(buffer, 0, n);
        }
      }
    }
  }

  private void closeAll() {
    for (Socket socket : sockets) {
      closeQuietly(socket);
    }
    sockets.clear();
  }

  @Override
  public void close() throws IOException {
    server.close();
    closeAll();
  }

  private static void closeQuietly(Socket socket) {
    try {
      socket.close();
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  private interface Work {
    void run() throws IOException;
  }

  /** A broken socket ends its thread: that is what the line is for. */
  private static void thread(String name, Work work) {
    Thread thread =
        new Thread(
            () -> {
              try {
                work.run();
              } catch (IOException e) {
                Thread.currentThread().interrupt();
              }
            },
            name);
    thread.setDaemon(true);
    thread.start();
  }
}
