package org.borewarden.agent.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.InputStream;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.net.http.HttpResponse.BodyHandlers;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.KeyStore;
import java.security.cert.CertificateFactory;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import javax.net.ssl.SSLContext;
import javax.net.ssl.TrustManagerFactory;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.config.BoardConfig;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.agent.observe.HealthServer;
import org.borewarden.agent.peers.Peers;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.State;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A board beyond loopback: TLS, a token to look, and a number for whoever gives orders. */
class SignedInBoardTest {
  private static final String TOKEN = "four bores and a ring";
  private static final String MEASURE_AGAIN =
      "{\"command\":\"measure-again\",\"feature\":\"seat\",\"pin\":\"%s\"}";

  @TempDir private static Path folder;

  private final List<Event> offered = new CopyOnWriteArrayList<>();
  private final AtomicLong nanos = new AtomicLong();
  private Board board;
  private BoardServer server;
  private HttpClient http;

  @BeforeAll
  static void certificate() throws Exception {
    Peers.require("openssl");
    Process made =
        new ProcessBuilder(
                Peers.program("openssl").toString(),
                "req",
                "-x509",
                "-newkey",
                "ec",
                "-pkeyopt",
                "ec_paramgen_curve:P-256",
                "-nodes",
                "-days",
                "30",
                "-keyout",
                folder.resolve("board.key").toString(),
                "-out",
                folder.resolve("board.crt").toString(),
                "-subj",
                "/CN=localhost",
                "-addext",
                "subjectAltName=DNS:localhost")
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("openssl.txt").toFile())
            .start();
    assertThat(made.waitFor(30, TimeUnit.SECONDS)).isTrue();
    assertThat(made.exitValue()).as(Files.readString(folder.resolve("openssl.txt"))).isZero();
    secret("token", TOKEN + "\n");
    secret("persons", "4711 inspector-2\n");
  }

  private static void secret(String name, String text) throws IOException {
    Path file = Files.writeString(folder.resolve(name), text, StandardCharsets.UTF_8);
    Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rw-------"));
  }

  @BeforeEach
  void serve() throws Exception {
    board =
        new Board("cell-4", true, new Still(), new EmptyJournal(), Instant::now, System::nanoTime);
    board.start();
    CommandReader reader = new CommandReader(Instant::now, () -> false);
    Hands hands = new Hands(Optional.of(folder.resolve("persons")), reader, new Sink(), nanos::get);
    // The first use of the JDK's server in a process sets its limits for all later ones.
    HealthServer.limitTheServer();
    server =
        BoardServer.start(
            config(Optional.of(folder.resolve("token"))),
            ZoneOffset.UTC,
            board,
            Optional.of(hands),
            nanos::get);
    http = HttpClient.newBuilder().sslContext(trusting()).build();
  }

  @AfterEach
  void stop() {
    server.close();
    board.close();
  }

  @Test
  void whoHasNotSaidTheTokenSeesOnlyTheQuestionForIt() throws Exception {
    assertThat(get("/", "").body()).contains("name=\"token\"");
    assertThat(get("/events", "").statusCode()).isEqualTo(401);
    assertThat(post("/hands", MEASURE_AGAIN.formatted("4711"), "").statusCode()).isEqualTo(401);
    assertThat(offered).isEmpty();
  }

  @Test
  void whoSaysTheTokenSeesThePageForHalfADay() throws Exception {
    String cookie = signIn(TOKEN).orElseThrow();
    assertThat(cookie).contains("HttpOnly", "Secure", "SameSite=Strict");
    String session = cookie.substring(0, cookie.indexOf(';'));

    assertThat(get("/", session).body()).doesNotContain("name=\"token\"");
    nanos.addAndGet(TimeUnit.HOURS.toNanos(12) + 1);
    assertThat(get("/", session).body()).contains("name=\"token\"");
  }

  @Test
  void whoGuessesFiveTimesIsNotHeardForHalfAMinute() throws Exception {
    for (int n = 0; n < Tries.MOST_WRONG; n++) {
      assertThat(signIn("guess-number-" + n)).isEmpty();
    }
    assertThat(signIn(TOKEN)).as("even the right one").isEmpty();
    nanos.addAndGet(Tries.REST_NANOS + 1);
    assertThat(signIn(TOKEN)).isPresent();
  }

  @Test
  void anOrderIsThatOfThePersonWhoseNumberWasGiven() throws Exception {
    String session = session();
    assertThat(post("/hands", MEASURE_AGAIN.formatted("0815"), session).body())
        .contains("no person has this number");
    assertThat(commands()).isEmpty();

    post("/hands", MEASURE_AGAIN.formatted("4711"), session);
    assertThat(commands()).hasSize(1);
    assertThat(commands().get(0).who()).contains("inspector-2");
    assertThat(commands().get(0).authenticatedAs()).isEqualTo("board:inspector-2");
  }

  @Test
  void anotherPageCannotGiveAnOrderInHisName() throws Exception {
    HttpResponse<String> answer =
        http.send(
            request("/hands", session())
                .header("Origin", "https://elsewhere.example")
                .header("Content-Type", "application/json")
                .POST(HttpRequest.BodyPublishers.ofString(MEASURE_AGAIN.formatted("4711")))
                .build(),
            BodyHandlers.ofString());
    assertThat(answer.statusCode()).isEqualTo(403);
    assertThat(offered).isEmpty();
  }

  @Test
  void anOrderBeyondTheInspectorsHandsIsRefused() throws Exception {
    assertThat(post("/hands", "{\"command\":\"release\",\"pin\":\"4711\"}", session()).body())
        .contains("expected one of");
    assertThat(commands()).isEmpty();
  }

  @Test
  void whoDoesNotTrustTheCertificateOrSpeaksInTheClearGetsNothing() {
    assertThatThrownBy(() -> HttpClient.newHttpClient().send(get("/"), BodyHandlers.ofString()))
        .isInstanceOf(IOException.class);
    HttpRequest clear =
        HttpRequest.newBuilder(URI.create("http://localhost:" + server.port() + "/"))
            .timeout(Duration.ofSeconds(30))
            .build();
    assertThatThrownBy(() -> http.send(clear, BodyHandlers.ofString()))
        .isInstanceOf(IOException.class);
  }

  private BoardConfig config(Optional<Path> token) {
    return new BoardConfig(
        "127.0.0.1",
        0,
        Optional.of(new BoardConfig.Tls(folder.resolve("board.crt"), folder.resolve("board.key"))),
        token,
        true,
        Optional.of(folder.resolve("persons")));
  }

  private List<Command> commands() {
    return offered.stream()
        .filter(Event.CommandGiven.class::isInstance)
        .map(event -> ((Event.CommandGiven) event).command())
        .toList();
  }

  private String session() throws Exception {
    String cookie = signIn(TOKEN).orElseThrow();
    return cookie.substring(0, cookie.indexOf(';'));
  }

  private Optional<String> signIn(String token) throws Exception {
    HttpResponse<String> answer =
        http.send(
            request("/sign-in", "")
                .header("Origin", address())
                .header("Content-Type", "application/x-www-form-urlencoded")
                .POST(HttpRequest.BodyPublishers.ofString("token=" + token.replace(' ', '+')))
                .build(),
            BodyHandlers.ofString());
    assertThat(answer.statusCode()).isEqualTo(303);
    return answer.headers().firstValue("Set-Cookie");
  }

  private HttpResponse<String> post(String path, String json, String session) throws Exception {
    return http.send(
        request(path, session)
            .header("Origin", address())
            .header("Content-Type", "application/json")
            .POST(HttpRequest.BodyPublishers.ofString(json))
            .build(),
        BodyHandlers.ofString());
  }

  private HttpResponse<String> get(String path, String session) throws Exception {
    return http.send(request(path, session).build(), BodyHandlers.ofString());
  }

  private HttpRequest get(String path) {
    return request(path, "").build();
  }

  private HttpRequest.Builder request(String path, String session) {
    HttpRequest.Builder request =
        HttpRequest.newBuilder(URI.create(address() + path)).timeout(Duration.ofSeconds(30));
    if (!session.isEmpty()) {
      request.header("Cookie", session);
    }
    return request;
  }

  private String address() {
    return "https://localhost:" + server.port();
  }

  private static SSLContext trusting() throws Exception {
    KeyStore trusted = KeyStore.getInstance("PKCS12");
    trusted.load(null, null);
    try (InputStream pem = Files.newInputStream(folder.resolve("board.crt"))) {
      trusted.setCertificateEntry(
          "board", CertificateFactory.getInstance("X.509").generateCertificate(pem));
    }
    TrustManagerFactory trust =
        TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
    trust.init(trusted);
    SSLContext context = SSLContext.getInstance("TLS");
    context.init(null, trust.getTrustManagers(), null);
    return context;
  }

  /** An inbox that is full, so that nobody waits for an answer; it remembers what was offered. */
  private final class Sink implements EventSink {
    @Override
    public void put(Event event) {
      offered.add(event);
    }

    @Override
    public boolean offer(Event event) {
      offered.add(event);
      return false;
    }
  }

  /** An agent at its start. */
  private static final class Still implements Glance {
    @Override
    public Seen seen() {
      return new Seen(State.initial(), OptionalLong.of(0));
    }

    @Override
    public Duration sinceTurn() {
      return Duration.ZERO;
    }

    @Override
    public List<String> refusedLines() {
      return List.of();
    }
  }
}
