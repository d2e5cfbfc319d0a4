package org.borewarden.agent.peers;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * Stands before a broker and counts on the wire how many publishes of QoS 1 have no acknowledgement
 * yet, by the fixed headers of MQTT (type and flags, then the remaining length in groups of seven
 * bits: MQTT 5.0, 2.1). Can keep back what the broker says.
 */
public final class PublishTap implements AutoCloseable {
  private static final int PUBLISH = 3;
  private static final int PUBACK = 4;
  private static final int QOS_BITS = 0x06;

  private final ServerSocket server;
  private final int backend;
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();
  private final AtomicInteger connections = new AtomicInteger();
  private int unacknowledged;
  private int most;
  private boolean keep;

  private PublishTap(ServerSocket server, int backend) {
    this.server = server;
    this.backend = backend;
  }

  /**
   * Starts one on an ephemeral port.
   *
   * @param backend the broker's port
   * @return the tap
   * @throws IOException when there is no port
   */
  public static PublishTap before(int backend) throws IOException {
    PublishTap tap =
        new PublishTap(new ServerSocket(0, 50, InetAddress.getLoopbackAddress()), backend);
    run(tap::accept);
    return tap;
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
   * How often somebody connected.
   *
   * @return connections so far
   */
  public int connections() {
    return connections.get();
  }

  /**
   * Publishes of QoS 1 that went up and have no answer that went down.
   *
   * @return how many now
   */
  public synchronized int unacknowledged() {
    return unacknowledged;
  }

  /**
   * The most there ever were.
   *
   * @return how many
   */
  public synchronized int mostUnacknowledged() {
    return most;
  }

  /**
   * Keeps back what the broker says, or lets it through again.
   *
   * @param back whether to keep
   */
  public synchronized void keepAnswers(boolean back) {
    keep = back;
    notifyAll();
  }

  private void accept() throws IOException {
    while (true) {
      Socket client = server.accept();
      Socket broker = new Socket(InetAddress.getLoopbackAddress(), backend);
      connections.incrementAndGet();
      sockets.addAll(List.of(client, broker));
      run(() -> pump(client, broker, true));
      run(() -> pump(broker, client, false));
    }
  }

  private void pump(Socket from, Socket to, boolean up) throws IOException, InterruptedException {
    DataInputStream in = new DataInputStream(from.getInputStream());
    OutputStream out = to.getOutputStream();
    while (true) {
      byte[] packet = packet(in);
      count(packet[0] & 0xff, up);
      out.write(packet);
      out.flush();
    }
  }

  private static byte[] packet(DataInputStream in) throws IOException {
    byte[] head = new byte[5];
    int read = 0;
    head[read++] = in.readByte();
    int length = 0;
    int shift = 0;
    do {
      head[read] = in.readByte();
      length |= (head[read] & 0x7f) << shift;
      shift += 7;
    } while (head[read++] < 0);
    byte[] packet = new byte[read + length];
    System.arraycopy(head, 0, packet, 0, read);
    in.readFully(packet, read, length);
    return packet;
  }

  /** An answer counts when it is let through: the client cannot know of it before. */
  private synchronized void count(int first, boolean up) throws InterruptedException {
    if (!up) {
      while (keep) {
        wait();
      }
    }
    if (up && first >> 4 == PUBLISH && (first & QOS_BITS) != 0) {
      unacknowledged++;
      most = Math.max(most, unacknowledged);
    } else if (!up && first >> 4 == PUBACK) {
      unacknowledged--;
    }
  }

  /** What a thread of ours does until its sockets are closed. */
  @FunctionalInterface
  private interface Work {
    void go() throws IOException, InterruptedException;
  }

  private static void run(Work work) {
    Thread thread =
        new Thread(
            () -> {
              try {
                work.go();
              } catch (IOException closed) {
                // The end of the test.
              } catch (InterruptedException stop) {
                Thread.currentThread().interrupt();
              }
            },
            "publish-tap");
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void close() throws IOException {
    keepAnswers(false);
    server.close();
    for (Socket socket : sockets) {
      socket.close();
    }
  }
}
