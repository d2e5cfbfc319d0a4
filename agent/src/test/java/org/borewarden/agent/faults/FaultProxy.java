package org.borewarden.agent.faults;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.BindException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.time.Duration;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;

/**
 * A network between an agent and its broker that goes wrong on request. A fault strikes the
 * connections that stand and, but for {@link Fault#HALF_OPEN} and {@link Fault#ANSWERS_LOST}, those
 * that come; {@link Fault#NONE} heals it for new connections and lets go on what was held up, while
 * a connection of which something was swallowed stays so.
 */
final class FaultProxy implements AutoCloseable {
  private static final int MOST_UP_BEFORE_CUT = 1500;

  /** Acknowledgements are short. */
  private static final int MOST_DOWN_BEFORE_CUT = 200;

  private static final int SLOW_PIECE = 16;
  private static final long SLOW_MILLIS = 8;
  private static final long TRICKLE_MILLIS = 1000;
  private static final long HOLD_MILLIS = 60_000;
  private static final Duration FREE_WITHIN = Duration.ofSeconds(10);

  private final int port;
  private final int backend;
  private final Random random;
  private final List<Pair> pairs = new CopyOnWriteArrayList<>();
  private final List<Long> arrivedNanos = new CopyOnWriteArrayList<>();
  private final AtomicLong bites = new AtomicLong();

  /** What holds the port: the listener, or while connections are refused a socket that does not. */
  private AutoCloseable holder;

  private volatile Fault fault = Fault.NONE;

  /** What goes wrong. */
  enum Fault {
    /** Nothing. */
    NONE,
    /** What the agent sends is swallowed and nothing comes back, and no side is told. */
    HALF_OPEN,
    /** The same for the connections that come. */
    BLACK_HOLE,
    /** The broker gets everything, and its answers are swallowed. */
    ANSWERS_LOST,
    /** Every connection is reset, and so is each new one. */
    RESETS,
    /** Every connection is reset, and nobody listens any more. */
    REFUSED,
    /** Nothing moves in either direction; nothing is lost and the connection stays. */
    STALL,
    /** Bytes come in small pieces, two thousand a second at most. */
    SLOW,
    /** One byte a second. */
    TRICKLE,
    /** Each connection is cut in one direction after a random count of bytes, amid a packet. */
    CUT_IN_PACKET
  }

  /** The two sockets of one connection. */
  private static final class Pair {
    final Socket agent;
    final Socket broker;
    final AtomicLong leftUp = new AtomicLong(Long.MAX_VALUE);
    final AtomicLong leftDown = new AtomicLong(Long.MAX_VALUE);
    volatile boolean deaf;
    volatile boolean mute;

    Pair(Socket agent, Socket broker) {
      this.agent = agent;
      this.broker = broker;
    }

    AtomicLong left(boolean up) {
      return up ? leftUp : leftDown;
    }

    /** Whether there was something to reset. */
    boolean reset() {
      boolean stood = !agent.isClosed();
      FaultProxy.reset(agent);
      FaultProxy.reset(broker);
      return stood;
    }
  }

  private FaultProxy(ServerSocket server, int backend, Random random) {
    this.holder = server;
    this.port = server.getLocalPort();
    this.backend = backend;
    this.random = random;
  }

  static FaultProxy before(int backend) throws IOException {
    return before(backend, 1);
  }

  /** The seed says after which bytes connections are cut. */
  static FaultProxy before(int backend, long seed) throws IOException {
    ServerSocket server = listener(0);
    FaultProxy proxy = new FaultProxy(server, backend, new Random(seed));
    run("fault-proxy", () -> proxy.accept(server));
    return proxy;
  }

  private static ServerSocket listener(int port) throws IOException {
    return new ServerSocket(port, 50, InetAddress.getLoopbackAddress());
  }

  int port() {
    return port;
  }

  /** The connections that were let through to the broker. */
  int connections() {
    return pairs.size();
  }

  /** When each connection came that was not refused, by {@link System#nanoTime}. */
  List<Long> arrivedNanos() {
    return List.copyOf(arrivedNanos);
  }

  /**
   * How often it was felt: bytes that were swallowed, pieces that were held up, connections that
   * were reset or cut.
   */
  long bites() {
    return bites.get();
  }

  /** Lets it go wrong from now on. */
  synchronized void strike(Fault with) throws Exception {
    fault = with;
    hold(with == Fault.REFUSED);
    pairs.forEach(pair -> struck(pair, with));
    notifyAll();
  }

  private void struck(Pair pair, Fault with) {
    switch (with) {
      case HALF_OPEN, BLACK_HOLE -> {
        pair.deaf = true;
        pair.mute = true;
      }
      case ANSWERS_LOST -> pair.mute = true;
      case RESETS, REFUSED -> bites.addAndGet(pair.reset() ? 1 : 0);
      case CUT_IN_PACKET -> {
        boolean up = random.nextBoolean();
        int most = up ? MOST_UP_BEFORE_CUT : MOST_DOWN_BEFORE_CUT;
        pair.left(up).set(1 + random.nextInt(most));
      }
      case NONE -> {
        pair.leftUp.set(Long.MAX_VALUE);
        pair.leftDown.set(Long.MAX_VALUE);
      }
      case STALL, SLOW, TRICKLE -> {
        // Felt by the next bytes.
      }
    }
  }

  /** Keeps the port, without listening while connections are refused. */
  private void hold(boolean refusing) throws Exception {
    if (refusing == (holder instanceof Socket)) {
      return;
    }
    release();
    // The port is free only when the thread that accepted has noticed.
    if (!Waits.most(FREE_WITHIN, () -> taken(refusing))) {
      throw new IOException("port " + port + " does not become free");
    }
  }

  private boolean taken(boolean refusing) throws IOException {
    try {
      if (refusing) {
        Socket silent = new Socket();
        holder = silent;
        silent.setReuseAddress(true);
        silent.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
      } else {
        ServerSocket server = listener(port);
        holder = server;
        run("fault-proxy", () -> accept(server));
      }
      return true;
    } catch (BindException notYet) {
      release();
      return false;
    }
  }

  private void release() throws IOException {
    if (holder instanceof ServerSocket server) {
      server.close();
    } else if (holder instanceof Socket silent) {
      silent.close();
    }
  }

  private void accept(ServerSocket server) {
    try {
      while (true) {
        Socket agent = server.accept();
        arrivedNanos.add(System.nanoTime());
        if (fault == Fault.RESETS || fault == Fault.REFUSED) {
          reset(agent);
          bites.incrementAndGet();
        } else {
          serve(agent);
        }
      }
    } catch (IOException closed) {
      // The end of the test, or connections are refused from now on.
    }
  }

  private void serve(Socket agent) {
    try {
      Pair pair = new Pair(agent, new Socket(InetAddress.getLoopbackAddress(), backend));
      begin(pair);
      run("fault-proxy-up", () -> pump(pair, agent, pair.broker, true));
      run("fault-proxy-down", () -> pump(pair, pair.broker, agent, false));
    } catch (IOException noBroker) {
      reset(agent);
    }
  }

  private synchronized void begin(Pair pair) {
    pairs.add(pair);
    if (fault == Fault.BLACK_HOLE || fault == Fault.CUT_IN_PACKET || fault == Fault.REFUSED) {
      struck(pair, fault);
    }
  }

  private void pump(Pair pair, Socket from, Socket to, boolean up) {
    byte[] bytes = new byte[4096];
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      boolean whole = true;
      for (int n = in.read(bytes); n >= 0 && whole; n = whole ? in.read(bytes) : -1) {
        if (up ? pair.deaf : pair.mute) {
          bites.addAndGet(n);
        } else {
          whole = pass(pair.left(up), out, bytes, n);
        }
      }
    } catch (IOException | InterruptedException cut) {
      // Then the other side is cut too.
    }
    // A half-open connection tells nobody that the other side is gone.
    if (!(up ? pair.mute : pair.deaf)) {
      pair.reset();
    }
  }

  /** False when the connection is cut amid these bytes. */
  private boolean pass(AtomicLong leftBeforeCut, OutputStream out, byte[] bytes, int count)
      throws IOException, InterruptedException {
    int at = 0;
    while (at < count) {
      Fault now = fault;
      if (now == Fault.STALL) {
        bites.incrementAndGet();
        holdUp(now, HOLD_MILLIS);
        continue;
      }
      int piece = Math.min(count - at, mostAtOnce(now));
      long left = leftBeforeCut.addAndGet(-piece);
      if (left < 0) {
        out.write(bytes, at, (int) Math.max(0, piece + left));
        bites.incrementAndGet();
        return false;
      }
      out.write(bytes, at, piece);
      at += piece;
      if (now == Fault.SLOW || now == Fault.TRICKLE) {
        bites.incrementAndGet();
        holdUp(now, now == Fault.SLOW ? SLOW_MILLIS : TRICKLE_MILLIS);
      }
    }
    return true;
  }

  private static int mostAtOnce(Fault fault) {
    return switch (fault) {
      case SLOW -> SLOW_PIECE;
      case TRICKLE -> 1;
      default -> Integer.MAX_VALUE;
    };
  }

  /** Waits so long, or until this fault is over. */
  private synchronized void holdUp(Fault during, long millis) throws InterruptedException {
    long end = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(millis);
    long left = millis;
    while (fault == during && left > 0) {
      wait(left);
      left = TimeUnit.NANOSECONDS.toMillis(end - System.nanoTime());
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
  public synchronized void close() throws IOException {
    fault = Fault.NONE;
    release();
    pairs.forEach(Pair::reset);
    notifyAll();
  }
}
