package org.borewarden.agent.board;

import com.sun.net.httpserver.HttpExchange;
import com.sun.net.httpserver.HttpServer;
import com.sun.net.httpserver.HttpsConfigurator;
import com.sun.net.httpserver.HttpsServer;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.URLDecoder;
import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.ThreadPoolExecutor;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.BoardConfig;
import org.borewarden.agent.config.SecretException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Serves the page, its stream and the inspector's orders. It has threads of its own, and only the
 * orders reach the loop, by its inbox.
 */
public final class BoardServer implements AutoCloseable {
  /** The longest that a stream may live, seconds; less where the server's own limit is less. */
  static final int STREAM_SECONDS = 45;

  /** The longest time for a client to take an answer while a board is served. */
  static final int ANSWER_SECONDS = 60;

  private static final String LIMIT = "sun.net.httpserver.maxRspTime";
  private static final int CONNECTIONS_AT_MOST = 64;
  private static final int THREADS = Stream.VIEWERS_AT_MOST + 4;
  private static final int LONGEST_BODY = 4_096;
  private static final int STOP_SECONDS = 2;
  private static final Logger LOG = LoggerFactory.getLogger(BoardServer.class);

  private final HttpServer server;
  private final ExecutorService threads;
  private final BoardConfig config;
  private final Pages pages;
  private final Stream stream;
  private final SignIn signIn;
  private final Optional<Hands> hands;

  private BoardServer(
      BoardConfig config, ZoneId zone, Board board, Optional<Hands> hands, MonotonicClock clock)
      throws IOException {
    this.config = config;
    this.pages = Pages.read();
    this.hands = hands;
    this.signIn = new SignIn(config.token(), clock);
    String head =
        "\"zone\":\""
            + zone(zone)
            + "\",\"hands\":"
            + hands.isPresent()
            + ",\"pin\":"
            + hands.filter(Hands::asksWho).isPresent();
    this.stream = new Stream(board.feed(), board.runs(), head, clock, life());
    this.server = bind(config);
    this.threads =
        new ThreadPoolExecutor(
            THREADS,
            THREADS,
            0,
            TimeUnit.SECONDS,
            new ArrayBlockingQueue<>(CONNECTIONS_AT_MOST),
            BoardServer::named);
  }

  /** Browsers know UTC by that name only. */
  private static String zone(ZoneId zone) {
    return zone.equals(ZoneOffset.UTC) ? "UTC" : zone.getId();
  }

  /**
   * Lets an answer take so long that a stream can live. The JDK's server reads its limits once, for
   * all servers of the process; so this comes before the first.
   */
  public static void letStreamsLive() {
    if (System.getProperty(LIMIT) == null) {
      System.setProperty(LIMIT, Integer.toString(ANSWER_SECONDS));
    }
  }

  private static int life() {
    int most = Integer.getInteger(LIMIT, ANSWER_SECONDS);
    return most <= 0 ? STREAM_SECONDS : Math.max(1, Math.min(STREAM_SECONDS, most - 2));
  }

  /**
   * Binds the port and begins to serve.
   *
   * @param config where, and for whom
   * @param zone the site's time zone, in which the page shows times
   * @param board what is shown
   * @param hands what takes orders; empty where none are taken
   * @param clock for durations
   * @return the server, serving
   * @throws IOException when the port cannot be bound, or a key cannot be read; the message names
   *     it
   */
  public static BoardServer start(
      BoardConfig config, ZoneId zone, Board board, Optional<Hands> hands, MonotonicClock clock)
      throws IOException {
    BoardServer started = new BoardServer(config, zone, board, hands, clock);
    started.server.setExecutor(started.threads);
    started.server.createContext("/", started::serve);
    started.server.start();
    LOG.info("the board is served at {}", started.address());
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

  private String address() {
    String host = config.host().contains(":") ? "[" + config.host() + "]" : config.host();
    return (config.tls().isPresent() ? "https://" : "http://") + host + ":" + port();
  }

  private static HttpServer bind(BoardConfig config) throws IOException {
    InetSocketAddress address = new InetSocketAddress(config.host(), config.port());
    if (address.isUnresolved()) {
      throw new IOException("board.host " + config.host() + ": no such address");
    }
    if (config.tls().isEmpty() && !address.getAddress().isLoopbackAddress()) {
      throw new IOException(
          "board.host " + config.host() + " is no loopback address; it needs TLS");
    }
    try {
      if (config.tls().isEmpty()) {
        return HttpServer.create(address, CONNECTIONS_AT_MOST);
      }
      HttpsServer server = HttpsServer.create(address, CONNECTIONS_AT_MOST);
      server.setHttpsConfigurator(new HttpsConfigurator(PageTls.load(config.tls().get())));
      return server;
    } catch (IOException e) {
      throw new IOException(
          "cannot serve the board at "
              + config.host()
              + ":"
              + config.port()
              + ": "
              + e.getMessage(),
          e);
    }
  }

  private void serve(HttpExchange exchange) throws IOException {
    try (exchange) {
      Answer.guard(exchange.getResponseHeaders());
      if (!ownHost(exchange)) {
        Answer.text(exchange, 421, "another host was asked for");
        return;
      }
      String path = exchange.getRequestURI().getPath();
      boolean open = signIn.admits(headers(exchange, "Cookie").stream());
      switch (exchange.getRequestMethod() + " " + path) {
        case "POST /sign-in" -> signIn(exchange);
        case "POST /hands" -> {
          if (open) {
            hands(exchange);
          } else {
            Answer.text(exchange, 401, "sign in first");
          }
        }
        case "GET /events" -> {
          if (open) {
            stream.serve(exchange);
          } else {
            Answer.text(exchange, 401, "sign in first");
          }
        }
        case "HEAD /events" -> exchange.sendResponseHeaders(open ? 204 : 401, -1);
        default -> page(exchange, path, open);
      }
    }
  }

  private void page(HttpExchange exchange, String path, boolean open) throws IOException {
    if (!exchange.getRequestMethod().equals("GET")) {
      Answer.text(exchange, 405, "GET only");
      return;
    }
    // Files of the program say nothing of the shop; only what is told to the page does.
    boolean start = path.equals("/") || path.equals("/board.html");
    Optional<Pages.Page> page = pages.at(start && !open ? "/sign-in.html" : path);
    if (page.isEmpty()) {
      Answer.text(exchange, 404, "there is no such page");
      return;
    }
    Answer.bytes(exchange, 200, page.get().type(), page.get().bytes());
  }

  private void signIn(HttpExchange exchange) throws IOException {
    Optional<byte[]> body = ownPost(exchange, "application/x-www-form-urlencoded");
    if (body.isEmpty()) {
      return;
    }
    String form = new String(body.get(), StandardCharsets.UTF_8);
    String said = form.startsWith("token=") ? form.substring("token=".length()) : "";
    try {
      Optional<String> session = signIn.open(URLDecoder.decode(said, StandardCharsets.UTF_8));
      session.ifPresent(
          id ->
              exchange
                  .getResponseHeaders()
                  .set(
                      "Set-Cookie",
                      SignIn.COOKIE + "=" + id + "; HttpOnly; Secure; SameSite=Strict; Path=/"));
      exchange.getResponseHeaders().set("Location", session.isPresent() ? "/" : "/?again");
      Answer.bytes(exchange, 303, "text/plain", new byte[0]);
    } catch (SecretException e) {
      LOG.warn("{}", e.getMessage());
      Answer.text(exchange, 503, "nobody can sign in; the log says why");
    } catch (IllegalArgumentException notAForm) {
      Answer.text(exchange, 400, "expected a form");
    }
  }

  private void hands(HttpExchange exchange) throws IOException {
    if (hands.isEmpty()) {
      Answer.text(exchange, 404, "no orders are taken here");
      return;
    }
    Optional<byte[]> body = ownPost(exchange, "application/json");
    if (body.isEmpty()) {
      return;
    }
    try {
      Answer.json(exchange, 200, hands.get().give(body.get()));
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  /** The body of a request that our own page sent; others are told off and give none. */
  private Optional<byte[]> ownPost(HttpExchange exchange, String type) throws IOException {
    String scheme = config.tls().isPresent() ? "https://" : "http://";
    String own = scheme + header(exchange, "Host");
    String fetched = header(exchange, "Sec-Fetch-Site");
    if (!header(exchange, "Origin").equals(own)
        || !(fetched.isEmpty() || fetched.equals("same-origin"))
        || !header(exchange, "Content-Type").startsWith(type)) {
      Answer.text(exchange, 403, "expected a request of the page itself");
      return Optional.empty();
    }
    byte[] body = exchange.getRequestBody().readNBytes(LONGEST_BODY + 1);
    if (body.length > LONGEST_BODY) {
      Answer.text(exchange, 413, "expected at most " + LONGEST_BODY + " bytes");
      return Optional.empty();
    }
    return Optional.of(body);
  }

  /** On loopback no other name counts: a name of others may lead here as well. */
  private boolean ownHost(HttpExchange exchange) {
    String host = header(exchange, "Host").replaceAll(":[0-9]+$", "");
    return signIn.needed()
        || host.equals("localhost")
        || host.equals("[::1]")
        || host.matches("127(\\.[0-9]{1,3}){3}");
  }

  private static String header(HttpExchange exchange, String name) {
    List<String> all = headers(exchange, name);
    return all.size() == 1 ? all.get(0) : "";
  }

  private static List<String> headers(HttpExchange exchange, String name) {
    return Optional.ofNullable(exchange.getRequestHeaders().get(name)).orElse(List.of());
  }

  private static final AtomicInteger NUMBER = new AtomicInteger();

  private static Thread named(Runnable work) {
    Thread thread = new Thread(work, "board-" + NUMBER.incrementAndGet());
    thread.setDaemon(true);
    return thread;
  }

  /** Stops serving within two seconds. */
  @Override
  public void close() {
    server.stop(0);
    threads.shutdownNow();
    try {
      if (!threads.awaitTermination(STOP_SECONDS, TimeUnit.SECONDS)) {
        LOG.warn("a viewer of the board did not end within {} s of the stop", STOP_SECONDS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
