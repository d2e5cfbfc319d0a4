package org.borewarden.agent.observe;

import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.ThreadFactory;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Serves {@code /metrics}, {@code /healthz} and {@code /readyz}, and nothing else. It has threads
 * of its own and only reads, so a slow or broken client cannot delay the loop.
 *
 * <p>There is no TLS and no token, so it binds loopback only; for others put a proxy that has both
 * before it.
 */
public final class HealthServer implements AutoCloseable {
  /** Connections at once; one more is closed as soon as it is accepted. */
  static final int CONNECTIONS_AT_MOST = 64;

  private static final int THREADS = 4;

  /** The longest time from a connection to its whole request; then it is closed. */
  static final int REQUEST_SECONDS = 5;

  /** The longest time for a client to take an answer; then it is closed. */
  static final int ANSWER_SECONDS = 5;

  private static final int IDLE_SECONDS = 30;
  private static final int IDLE_CONNECTIONS_AT_MOST = 16;
  private static final int STOP_SECONDS = 2;
  private static final Logger LOG = LoggerFactory.getLogger(HealthServer.class);

  private final HttpServer server;
  private final ExecutorService threads;

  private HealthServer(HttpServer server, ExecutorService threads) {
    this.server = server;
    this.threads = threads;
  }

  /**
   * Binds the port and begins to serve.
   *
   * @param host the address to bind, a loopback one
   * @param port the TCP port, 0 for any free one
   * @param metrics what to show
   * @param health how the agent does
   * @return the server, serving
   * @throws IOException when the address is not loopback or the port cannot be bound; the message
   *     names it
   */
  public static HealthServer start(String host, int port, Metrics metrics, HealthView health)
      throws IOException {
    limitTheServer();
    InetSocketAddress address = new InetSocketAddress(host, port);
    if (address.isUnresolved() || !address.getAddress().isLoopbackAddress()) {
      throw new IOException(
          "metrics and health: " + host + " is no loopback address, and there is no TLS here");
    }
    HttpServer server = bind(address);
    // A connection has one request at a time, so the queue cannot overflow.
    ExecutorService threads =
        new ThreadPoolExecutor(
            THREADS,
            THREADS,
            0,
            TimeUnit.SECONDS,
            new ArrayBlockingQueue<>(CONNECTIONS_AT_MOST),
            named());
    server.setExecutor(threads);
    server.createContext("/", new HealthPages(metrics, health));
    server.start();
    HealthServer started = new HealthServer(server, threads);
    LOG.info("metrics and health are served at http://{}:{}", host, started.port());
    return started;
  }

  /**
   * The port that was bound.
   *
   * @return the TCP port
   */
  public int port() {
    return server.getAddress().getPort();
  }

  /** Stops serving within two seconds. */
  @Override
  public void close() {
    server.stop(0);
    threads.shutdownNow();
    try {
      if (!threads.awaitTermination(STOP_SECONDS, TimeUnit.SECONDS)) {
        LOG.warn("a metrics or health request did not end within {} s of the stop", STOP_SECONDS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static HttpServer bind(InetSocketAddress address) throws IOException {
    if (address.isUnresolved()) {
      throw new IOException("http.host " + address.getHostString() + ": no such address");
    }
    try {
      return HttpServer.create(address, CONNECTIONS_AT_MOST);
    } catch (IOException e) {
      throw new IOException(
          "cannot serve metrics and health at "
              + address.getHostString()
              + ":"
              + address.getPort()
              + ": "
              + e.getMessage(),
          e);
    }
  }

  /**
   * The JDK's server reads its limits from system properties when its first class is loaded, and
   * has none by default: call this before any other use of it. Without the first, each answer on a
   * kept connection takes 40 ms (JDK-6968351).
   */
  public static void limitTheServer() {
    unlessSet("sun.net.httpserver.nodelay", "true");
    unlessSet("sun.net.httpserver.maxReqTime", Integer.toString(REQUEST_SECONDS));
    unlessSet("sun.net.httpserver.maxRspTime", Integer.toString(ANSWER_SECONDS));
    unlessSet("sun.net.httpserver.idleInterval", Integer.toString(IDLE_SECONDS));
    unlessSet("sun.net.httpserver.maxIdleConnections", Integer.toString(IDLE_CONNECTIONS_AT_MOST));
    unlessSet("jdk.httpserver.maxConnections", Integer.toString(CONNECTIONS_AT_MOST));
  }

  private static void unlessSet(String property, String value) {
    if (System.getProperty(property) == null) {
      System.setProperty(property, value);
    }
  }

  private static ThreadFactory named() {
    AtomicInteger number = new AtomicInteger();
    return work -> {
      Thread thread = new Thread(work, "health-" + number.incrementAndGet());
      thread.setDaemon(true);
      return thread;
    };
  }
}
