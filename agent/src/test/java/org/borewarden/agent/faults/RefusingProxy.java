package org.borewarden.agent.faults;

import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * Stands before a broker and refuses in its place: each PUBLISH of QoS 1 is answered with a reason
 * code and goes no further, as MQTT 5 (3.4.2.1) lets a broker do, or the connection is closed at it
 * (4.13.1). The broker behind must allow no topic aliases, which would be lost with what is
 * refused.
 */
final class RefusingProxy implements AutoCloseable {
  private static final int PUBLISH = 3;
  private static final int QOS_BITS = 0x06;
  private static final int QOS_1 = 0x02;
  private static final byte PUBACK = 0x40;

  private final ServerSocket server;
  private final int backend;
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();
  private final AtomicInteger refused = new AtomicInteger();
  private volatile int code;
  private volatile String only = "";
  private final AtomicInteger closesLeft = new AtomicInteger();

  private RefusingProxy(ServerSocket server, int backend) {
    this.server = server;
    this.backend = backend;
  }

  static RefusingProxy before(int backend) throws IOException {
    RefusingProxy proxy =
        new RefusingProxy(new ServerSocket(0, 50, InetAddress.getLoopbackAddress()), backend);
    run("refusing-proxy", proxy::accept);
    return proxy;
  }

  int port() {
    return server.getLocalPort();
  }

  /** Refuses from now on with this reason code; 0 lets all pass. */
  void refuse(int reasonCode) {
    code = reasonCode;
  }

  /** Refuses from now on what goes to this topic. */
  void refuse(String topic, int reasonCode) {
    only = topic;
    code = reasonCode;
  }

  /** Closes the connection at what goes to this topic, so many times. */
  void closeAt(String topic, int times) {
    only = topic;
    closesLeft.set(times);
  }

  int refused() {
    return refused.get();
  }

  private void accept() {
    try {
      while (true) {
        Socket agent = server.accept();
        Socket broker = new Socket(InetAddress.getLoopbackAddress(), backend);
        sockets.addAll(List.of(agent, broker));
        OutputStream toAgent = agent.getOutputStream();
        run("refusing-proxy-up", () -> pump(agent, broker, toAgent, true));
        run("refusing-proxy-down", () -> pump(broker, agent, toAgent, false));
      }
    } catch (IOException closed) {
      // The end of the test.
    }
  }

  /** Until one side closes; then the other is closed too. */
  private void pump(Socket from, Socket towards, OutputStream toAgent, boolean up)
      throws IOException {
    try (from;
        towards) {
      DataInputStream in = new DataInputStream(from.getInputStream());
      packets(in, up ? towards.getOutputStream() : toAgent, toAgent, up);
    }
  }

  private void packets(DataInputStream in, OutputStream to, OutputStream toAgent, boolean up)
      throws IOException {
    while (true) {
      int first = in.readUnsignedByte();
      int length = 0;
      int digit;
      int shift = 0;
      do {
        digit = in.readUnsignedByte();
        length |= (digit & 0x7F) << shift;
        shift += 7;
      } while ((digit & 0x80) != 0);
      byte[] body = new byte[length];
      in.readFully(body);
      boolean record = up && (first >> 4) == PUBLISH && (first & QOS_BITS) == QOS_1;
      int topic = record ? ((body[0] & 0xFF) << 8) | (body[1] & 0xFF) : 0;
      boolean meant =
          record
              && (only.isEmpty()
                  || only.equals(new String(body, 2, topic, StandardCharsets.UTF_8)));
      if (meant && closesLeft.getAndUpdate(left -> Math.max(0, left - 1)) > 0) {
        throw new IOException("closed at " + only);
      }
      if (meant && code != 0) {
        byte[] answer = {PUBACK, 3, body[2 + topic], body[3 + topic], (byte) code};
        refused.incrementAndGet();
        synchronized (toAgent) {
          toAgent.write(answer);
        }
      } else {
        synchronized (to) {
          to.write(packet(first, body));
        }
      }
    }
  }

  private static byte[] packet(int first, byte[] body) {
    ByteArrayOutputStream packet = new ByteArrayOutputStream();
    packet.write(first);
    int left = body.length;
    do {
      packet.write(left > 0x7F ? (left & 0x7F) | 0x80 : left);
      left >>= 7;
    } while (left > 0);
    packet.writeBytes(body);
    return packet.toByteArray();
  }

  /** What moves bytes until a connection ends. */
  private interface Pumping {
    void run() throws IOException;
  }

  private static void run(String name, Pumping work) {
    Thread thread =
        new Thread(
            () -> {
              try {
                work.run();
              } catch (IOException ended) {
                // The connection is over.
              }
            },
            name);
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void close() throws IOException {
    server.close();
    for (Socket socket : sockets) {
      socket.close();
    }
  }
}
