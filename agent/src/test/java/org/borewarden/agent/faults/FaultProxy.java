package org.borewarden.agent.faults;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicLong;

/**
 * A network between an agent and its broker that goes wrong on request. A fault strikes the
 * connections that stand and, but for the half-open ones, those that come; {@link Fault#NONE} heals
 * it for new connections, while a connection that was struck half open stays so.
 */
final class FaultProxy implements AutoCloseable {
  private final ServerSocket server;
  private final int backend;
  private final List<Pair> pairs = new CopyOnWriteArrayList<>();
  private final AtomicLong cutAfter = new AtomicLong(Long.MAX_VALUE);
  private volatile Fault fault = Fault.NONE;

  /** What goes wrong. */
  enum Fault {
    /** Nothing. */
    NONE,
    /** What the agent sends is swallowed and nothing comes back, and no side is told. */
    HALF_OPEN,
    /** The broker gets everything, and its answers are swallowed. */
    ANSWERS_LOST,
    /** Every connection is reset, and so is each new one. */
    RESETS,
    /** Bytes trickle. */
    SLOW,
    /** Each connection is cut after some hundred bytes from the agent, in the midst of a packet. */
    CUT_IN_PACKET
  }

  /** The two sockets of one connection. */
  private static final class Pair {
    final Socket agent;
    final Socket broker;
    volatile boolean deaf;
    volatile boolean mute;

    Pair(Socket agent, Socket broker) {
      this.agent = agent;
      this.broker = broker;
    }

    void reset() {
      FaultProxy.reset(agent);
      FaultProxy.reset(broker);
    }
  }

  private FaultProxy(ServerSocket server, int backend) {
    this.server = server;
    this.backend = backend;
  }

  static FaultProxy before(int backend) throws IOException {
    FaultProxy proxy =
        new FaultProxy(new ServerSocket(0, 50, InetAddress.getLoopbackAddress()), backend);
    run("fault-proxy", proxy::accept);
    return proxy;
  }

  int port() {
    return server.getLocalPort();
  }

  int connections() {
    return pairs.size();
  }

  /** Lets it go wrong from now on. */
  void strike(Fault with) {
    fault = with;
    cutAfter.set(with == Fault.CUT_IN_PACKET ? 700 : Long.MAX_VALUE);
    for (Pair pair : pairs) {
      switch (with) {
        case HALF_OPEN -> {
          pair.deaf = true;
          pair.mute = true;
        }
        case ANSWERS_LOST -> pair.mute = true;
        case RESETS -> pair.reset();
        case NONE, SLOW, CUT_IN_PACKET -> {
          // Felt by the next bytes.
        }
      }
    }
  }

  private void accept() {
    try {
      while (true) {
        Socket agent = server.accept();
        if (fault == Fault.RESETS) {
          reset(agent);
        } else {
          serve(agent);
        }
      }
    } catch (IOException closed) {
      // The end of the test.
    }
  }

  private void serve(Socket agent) {
    try {
      Pair pair = new Pair(agent, new Socket(InetAddress.getLoopbackAddress(), backend));
      pairs.add(pair);
      run("fault-proxy-up", () -> pump(pair, agent, pair.broker, true));
      run("fault-proxy-down", () -> pump(pair, pair.broker, agent, false));
    } catch (IOException noBroker) {
      reset(agent);
    }
  }

  private void pump(Pair pair, Socket from, Socket to, boolean up) {
    byte[] bytes = new byte[4096];
    long passed = 0;
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int n = in.read(bytes); n >= 0; n = in.read(bytes)) {
        if (up ? pair.deaf : pair.mute) {
          continue;
        }
        passed += n;
        if (up && passed > cutAfter.get()) {
          out.write(bytes, 0, n / 2);
          break;
        }
        write(out, bytes, n);
      }
    } catch (IOException | InterruptedException cut) {
      // Then the other side is cut too.
    }
    // A half-open connection tells nobody that the other side is gone.
    if (!(up ? pair.mute : pair.deaf)) {
      pair.reset();
    }
  }

  private void write(OutputStream out, byte[] bytes, int count)
      throws IOException, InterruptedException {
    if (fault != Fault.SLOW) {
      out.write(bytes, 0, count);
      return;
    }
    for (int at = 0; at < count; at += 64) {
      out.write(bytes, at, Math.min(64, count - at));
      Waits.pass(fault == Fault.SLOW ? 8_000 : 0);
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

  private static void run(String name, Runnable work) {
    Thread thread = new Thread(work, name);
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void close() throws IOException {
    server.close();
    pairs.forEach(Pair::reset);
  }
}
