package org.borewarden.agent.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.config.BrokerConfig.Tls;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Against a real broker with certificates made for the test. */
class TlsTest {
  private static final Duration SOON = Duration.ofSeconds(30);

  @TempDir static Path folder = Path.of("");

  @BeforeAll
  static void certificates() throws Exception {
    Peers.require("openssl", "mosquitto");
    authority("ca");
    authority("other-ca");
    certificate("server", "ca", "subjectAltName=DNS:localhost", "365");
    certificate("elsewhere", "ca", "subjectAltName=DNS:broker.northworks.example", "365");
    certificate("client", "ca", "extendedKeyUsage=clientAuth", "365");
    certificate("stranger", "other-ca", "extendedKeyUsage=clientAuth", "365");
    certificate("expired", "ca", "subjectAltName=DNS:localhost", "-1");
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void bothSidesProveThemselves(Version version) {
    try (TestBroker broker = broker("server", true);
        MqttLink link = link(broker, version, tls("ca", "client"))) {
      TestLinks.started(link);
      assertThat(link.connected()).isTrue();
    }
  }

  @Test
  void anUnknownIssuerIsSaidInWords() {
    try (TestBroker broker = broker("server", false)) {
      assertThat(refusal(broker, tls("other-ca", "")))
          .isEqualTo("the broker's certificate comes from an issuer that is not trusted");
    }
  }

  @Test
  void theSystemsIssuersAreTrustedWhereNoneAreNamed() {
    try (TestBroker broker = broker("server", false)) {
      assertThat(refusal(broker, Optional.empty()))
          .isEqualTo("the broker's certificate comes from an issuer that is not trusted");
    }
  }

  @Test
  void anotherHostNameIsSaidInWords() {
    try (TestBroker broker = broker("elsewhere", false)) {
      assertThat(refusal(broker, tls("ca", "")))
          .startsWith("the broker's certificate is not for the host name localhost");
    }
  }

  @Test
  void anExpiredCertificateIsSaidInWords() {
    try (TestBroker broker = broker("expired", false)) {
      assertThat(refusal(broker, tls("ca", ""))).startsWith("the broker's certificate has expired");
    }
  }

  @ParameterizedTest
  @EnumSource(Version.class)
  void aMissingClientCertificateIsSaidInWordsAndLeavesNoThreads(Version version) {
    try (TestBroker broker = broker("server", true)) {
      MqttLink link = link(broker, version, tls("ca", ""));
      try (link) {
        link.start();
        await().atMost(SOON).until(() -> link.state().attempt() >= 6);
        assertThat(link.state().detail())
            .containsAnyOf(
                "the broker demands a client certificate; none is configured",
                "it may demand a client certificate, none is configured");
      }
      await().atMost(SOON).until(() -> link.unfreed() == 0);
      await()
          .atMost(SOON)
          .until(
              () ->
                  Thread.getAllStackTraces().keySet().stream()
                      .noneMatch(
                          t -> t.getName().startsWith("MQTT ") && t.getName().endsWith("-tls")));
    }
  }

  @Test
  void aClientCertificateThatIsNotTrustedIsSaidInWords() {
    try (TestBroker broker = broker("server", true)) {
      assertThat(refusal(broker, tls("ca", "stranger")))
          .containsAnyOf(
              "the broker does not trust the issuer of our client certificate",
              "the one that is configured was not accepted",
              "the broker closed the connection before it answered");
    }
  }

  @Test
  void aPortWithoutTlsIsSaidInWords() {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true")) {
      assertThat(refusal(broker, tls("ca", "")))
          .containsAnyOf("does not speak TLS", "closed the connection");
    }
  }

  @Test
  void aFrozenBrokerBehindFullBuffersIsLeftAndFoundAgain() {
    try (TestBroker broker = broker("server", false);
        MqttLink link = link(broker, Version.V5, tls("ca", ""))) {
      TestLinks.started(link);
      broker.freeze();
      String large = "{\"fill\":\"" + "x".repeat(1_000_000) + "\"}";
      AtomicInteger lost = new AtomicInteger();
      for (int n = 0; n < 19; n++) {
        link.publish(
            OutMessage.event("t/" + n, large),
            result -> {
              if (result.outcome() == PublishResult.Outcome.LOST) {
                lost.incrementAndGet();
              }
            });
      }
      await().atMost(Duration.ofSeconds(25)).until(() -> !link.connected());
      await().atMost(SOON).until(() -> lost.get() >= 18);
      broker.thaw();
      await().atMost(SOON).until(link::connected);
      await().atMost(SOON).until(() -> link.unfreed() == 0);
    }
  }

  @Test
  void filesThatCannotBeUsedAreNamed() throws Exception {
    Path junk = Files.writeString(folder.resolve("junk.pem"), "junk");
    try (TestBroker broker = broker("server", false)) {
      assertThat(
              refusal(
                  broker,
                  Optional.of(new Tls(Optional.of(junk), Optional.empty(), Optional.empty()))))
          .startsWith("tls.ca: " + junk);
      assertThat(
              refusal(
                  broker,
                  Optional.of(
                      new Tls(
                          Optional.of(folder.resolve("gone")),
                          Optional.empty(),
                          Optional.empty()))))
          .isEqualTo("tls.ca: " + folder.resolve("gone") + " cannot be read");
      Tls half =
          new Tls(Optional.empty(), Optional.of(folder.resolve("client.crt")), Optional.empty());
      assertThat(refusal(broker, Optional.of(half))).contains("certificate and key together");
      Tls wrongKey =
          new Tls(Optional.empty(), Optional.of(folder.resolve("client.crt")), Optional.of(junk));
      assertThat(refusal(broker, Optional.of(wrongKey))).contains("expected a PKCS #8 key");
    }
  }

  @Test
  void aRenewedCertificateIsTakenWithoutARestartAndHalfARenewalIsNot(@TempDir Path own)
      throws Exception {
    certificate("renewed", "ca", "extendedKeyUsage=clientAuth", "5");
    Path certificate = copy("client.crt", own.resolve("own.crt"));
    Path key = copy("client.key", own.resolve("own.key"));
    Tls tls =
        new Tls(Optional.of(folder.resolve("ca.crt")), Optional.of(certificate), Optional.of(key));
    try (TestBroker broker = broker("server", true);
        MqttLink link = link(broker, Version.V5, Optional.of(tls))) {
      Renewals renewals = new Renewals(link);
      try (CertificateWatch watch =
          new CertificateWatch(tls, Duration.ofMillis(40), Instant::now, renewals)) {
        watch.start();
        TestLinks.started(link);
        long first = link.state().connection();
        assertThat(watch.warnings()).as("a year is left").isEmpty();

        // The certificate alone, as a copying script leaves it for a moment: nothing is ended.
        copy("renewed.crt", certificate);
        await().pollDelay(Duration.ofMillis(400)).atMost(SOON).until(link::connected);
        assertThat(renewals.count.get()).isZero();
        assertThat(link.state().connection()).isEqualTo(first);

        copy("renewed.key", key);
        await().atMost(SOON).until(() -> link.connected() && link.state().connection() > first);
        assertThat(renewals.count.get()).isEqualTo(1);
        assertThat(Duration.between(Instant.now(), renewals.expiries.get("broker-client")))
            .isBetween(Duration.ofDays(4), Duration.ofDays(5));
        assertThat(watch.warnings())
            .singleElement()
            .asString()
            .startsWith("the certificate broker-client expires in 4 days");
      }
    }
  }

  /** What is heard of the files. */
  private static final class Renewals implements CertificateWatch.Listener {
    private final MqttLink link;
    private final Map<String, Instant> expiries = new ConcurrentHashMap<>();
    private final AtomicInteger count = new AtomicInteger();

    Renewals(MqttLink link) {
      this.link = link;
    }

    @Override
    public void expires(String use, Instant at) {
      expiries.put(use, at);
    }

    @Override
    public void renewed() {
      count.incrementAndGet();
      link.renew("renewed");
    }
  }

  private static Path copy(String from, Path to) throws IOException {
    Path beside = to.resolveSibling("new");
    Files.copy(folder.resolve(from), beside, StandardCopyOption.REPLACE_EXISTING);
    return Files.move(beside, to, StandardCopyOption.REPLACE_EXISTING);
  }

  private static String refusal(TestBroker broker, Optional<Tls> tls) {
    try (MqttLink link = link(broker, Version.V5, tls)) {
      link.start();
      await().atMost(SOON).until(() -> link.state().attempt() >= 1);
      assertThat(link.connected()).isFalse();
      return link.state().detail();
    }
  }

  private static MqttLink link(TestBroker broker, Version version, Optional<Tls> tls) {
    BrokerConfig config =
        new BrokerConfig(
            URI.create("mqtts://localhost:" + broker.port()),
            version,
            "northworks-cell-4",
            Optional.empty(),
            Optional.empty(),
            tls,
            Duration.ofSeconds(5),
            19,
            65_536);
    return TestLinks.link(TestLinks.settings("tls", config, Optional.empty()));
  }

  private static Optional<Tls> tls(String ca, String own) {
    Optional<Path> certificate =
        own.isEmpty() ? Optional.empty() : Optional.of(folder.resolve(own + ".crt"));
    Optional<Path> key =
        own.isEmpty() ? Optional.empty() : Optional.of(folder.resolve(own + ".key"));
    return Optional.of(new Tls(Optional.of(folder.resolve(ca + ".crt")), certificate, key));
  }

  private static TestBroker broker(String certificate, boolean clientCertificate) {
    return TestBroker.mosquitto(
        "allow_anonymous true",
        "cafile " + folder.resolve("ca.crt"),
        "certfile " + folder.resolve(certificate + ".crt"),
        "keyfile " + folder.resolve(certificate + ".key"),
        "require_certificate " + clientCertificate);
  }

  private static void authority(String name) throws Exception {
    openssl(
        "req",
        "-x509",
        "-newkey",
        "ec",
        "-pkeyopt",
        "ec_paramgen_curve:P-256",
        "-nodes",
        "-days",
        "365",
        "-keyout",
        file(name, "key"),
        "-out",
        file(name, "crt"),
        "-subj",
        "/CN=" + name);
  }

  private static void certificate(String name, String ca, String extension, String days)
      throws Exception {
    openssl(
        "req",
        "-new",
        "-newkey",
        "ec",
        "-pkeyopt",
        "ec_paramgen_curve:P-256",
        "-nodes",
        "-keyout",
        file(name, "key"),
        "-out",
        file(name, "csr"),
        "-subj",
        "/CN=" + name);
    Path extensions = Files.writeString(folder.resolve(name + ".ext"), extension + "\n");
    openssl(
        "x509",
        "-req",
        "-in",
        file(name, "csr"),
        "-CA",
        file(ca, "crt"),
        "-CAkey",
        file(ca, "key"),
        "-CAcreateserial",
        "-days",
        days,
        "-extfile",
        extensions.toString(),
        "-out",
        file(name, "crt"));
  }

  private static String file(String name, String kind) {
    return folder.resolve(name + "." + kind).toString();
  }

  private static void openssl(String... arguments) throws IOException, InterruptedException {
    List<String> command = new ArrayList<>(List.of(Peers.program("openssl").toString()));
    command.addAll(List.of(arguments));
    Process process =
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start();
    assertThat(process.waitFor()).as("%s", command).isZero();
  }
}
