package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Starts mosquitto on the shipped configuration, with only its ports and folders changed, and tries
 * the access list with real clients. Each denial stands beside the same act by whom it is allowed.
 */
class MosquittoExampleIT {
  private static final Path SHIPPED = Path.of("../deploy/mosquitto").toAbsolutePath().normalize();
  private static final String ROOT = "northworks/housings/cell-4";
  private static final String AGENT = "borewarden-cell-4";
  private static final String PASSWORD = "for-this-test-only";
  private static final List<String> ROLES =
      List.of("inspector", "setter", "supervisor", "quality", "cell", "it");
  private static final String DENIED = "RC:135";

  @TempDir private static Path folder;
  private static int certificatePort;
  private static int passwordPort;
  private static Process broker;

  @BeforeAll
  static void startTheBroker() throws Exception {
    for (String program : List.of("mosquitto", "mosquitto_pub", "mosquitto_passwd", "openssl")) {
      Peers.require(program);
    }
    certificates();
    passwords();
    for (int attempt = 0; ; attempt++) {
      certificatePort = freePort();
      passwordPort = freePort();
      broker = mosquitto();
      if (answers() || attempt == 3) {
        break;
      }
    }
    assertThat(answers()).as("mosquitto takes the configuration: %s", log()).isTrue();
  }

  @AfterAll
  static void stopTheBroker() throws InterruptedException {
    if (broker != null) {
      broker.destroy();
      assertThat(broker.waitFor(20, TimeUnit.SECONDS)).isTrue();
    }
  }

  @Test
  void theAgentWritesItsOwnSubtree() throws Exception {
    for (String topic :
        List.of(
            "agent",
            "gauge/bore-60",
            "reading/bore-60",
            "rejected/bore-60",
            "verdict/bearing-seat",
            "trend/bearing-seat",
            "alert/forecast/bearing-seat/drift",
            "recheck/bore-60",
            "hold/cell-4",
            "heartbeat/cell-4",
            "answer/supervisor/panel-2")) {
      assertThat(publishAsAgent(ROOT + "/" + topic)).contains("PUBACK").doesNotContain(DENIED);
    }
  }

  @Test
  void theAgentWritesNoCommandAndNothingOutsideItsRoot() throws Exception {
    assertThat(publishAsAgent(ROOT + "/command/supervisor/release")).contains(DENIED);
    assertThat(publishAsAgent("northworks/housings/cell-5/hold/cell-5")).contains(DENIED);
  }

  @Test
  void eachRoleWritesItsOwnCommandsOnly() throws Exception {
    for (String role : ROLES) {
      for (String other : ROLES) {
        String said = publishAs(role, ROOT + "/command/" + other + "/acknowledge");
        if (role.equals(other)) {
          assertThat(said).as("%s", role).contains("PUBACK").doesNotContain(DENIED);
        } else {
          assertThat(said).as("%s as %s", role, other).contains(DENIED);
        }
      }
    }
  }

  @Test
  void noRoleWritesWhatTheAgentSays() throws Exception {
    for (String role : ROLES) {
      for (String topic : List.of("hold/cell-4", "heartbeat/cell-4", "answer/it/x", "agent")) {
        assertThat(publishAs(role, ROOT + "/" + topic)).as("%s %s", role, topic).contains(DENIED);
      }
    }
  }

  @Test
  void aRoleReadsTheTreeAndItsOwnAnswersButNoCommandAndNoOtherAnswer() throws Exception {
    Subscriber supervisor = new Subscriber("supervisor");
    Subscriber inspector = new Subscriber("inspector");
    try (supervisor;
        inspector) {
      publishAs("inspector", ROOT + "/command/inspector/discard");
      publishAsAgent(ROOT + "/answer/inspector/bench");
      publishAsAgent(ROOT + "/answer/supervisor/panel-2");
      publishAsAgent(ROOT + "/verdict/bearing-seat");
      publishAsAgent(ROOT + "/alert/forecast/bearing-seat/drift");
      publishAsAgent(ROOT + "/hold/cell-4");
      supervisor.awaitTopic(ROOT + "/hold/cell-4");
      inspector.awaitTopic(ROOT + "/hold/cell-4");
      assertThat(supervisor.topics())
          .containsExactly(
              ROOT + "/answer/supervisor/panel-2",
              ROOT + "/verdict/bearing-seat",
              ROOT + "/alert/forecast/bearing-seat/drift",
              ROOT + "/hold/cell-4");
      assertThat(inspector.topics()).contains(ROOT + "/answer/inspector/bench").hasSize(4);
    }
  }

  @Test
  void theAgentReadsCommands() throws Exception {
    try (Subscriber agent = new Subscriber(AGENT)) {
      publishAs("setter", ROOT + "/command/setter/tool-changed");
      agent.awaitTopic(ROOT + "/command/setter/tool-changed");
    }
  }

  @Test
  void nobodyComesInWithoutANameOrWithAWrongPasswordOrWithoutACertificate() throws Exception {
    List<String> tls = List.of("--cafile", folder.resolve("certs/ca.crt").toString());
    assertThat(publish(passwordPort, tls, "t").exit()).isNotZero();
    List<String> wrong = new ArrayList<>(tls);
    wrong.addAll(List.of("-u", "supervisor", "-P", "guessed"));
    assertThat(publish(passwordPort, wrong, "t").output()).contains("Not authorized");
    List<String> right = new ArrayList<>(tls);
    right.addAll(List.of("-u", "supervisor", "-P", PASSWORD));
    assertThat(publish(passwordPort, right, "t").exit()).isZero();
    assertThat(publish(certificatePort, right, "t").exit()).isNotZero();
    assertThat(publish(passwordPort, List.of("-u", "supervisor", "-P", PASSWORD), "t").exit())
        .as("no TLS")
        .isNotZero();
  }

  private static String publishAsAgent(String topic) throws Exception {
    return publish(certificatePort, asAgent(), topic).output();
  }

  private static String publishAs(String role, String topic) throws Exception {
    return publish(passwordPort, asRole(role), topic).output();
  }

  private static Ran publish(int port, List<String> identity, String topic) throws Exception {
    List<String> command = new ArrayList<>(List.of("mosquitto_pub", "-V", "5", "-q", "1", "-d"));
    command.addAll(List.of("-h", "localhost", "-p", Integer.toString(port)));
    command.addAll(identity);
    command.addAll(List.of("-t", topic, "-m", "x"));
    return Ran.run(folder, Map.of(), command);
  }

  private static List<String> asAgent() {
    return List.of(
        "--cafile", folder.resolve("certs/ca.crt").toString(),
        "--cert", folder.resolve("certs/" + AGENT + ".crt").toString(),
        "--key", folder.resolve("certs/" + AGENT + ".key").toString());
  }

  private static List<String> asRole(String role) {
    return List.of(
        "--cafile", folder.resolve("certs/ca.crt").toString(), "-u", role, "-P", PASSWORD);
  }

  private static void certificates() throws Exception {
    Ran ran =
        Ran.run(
            folder,
            Map.of(),
            List.of(
                SHIPPED.resolve("make-certificates.sh").toString(), "certs", "localhost", AGENT));
    assertThat(ran.exit()).as(ran.output()).isZero();
  }

  private static void passwords() throws Exception {
    Path passwords = Files.createFile(folder.resolve("borewarden.passwd"));
    for (String role : ROLES) {
      List<String> command =
          List.of("mosquitto_passwd", "-b", passwords.toString(), role, PASSWORD);
      assertThat(Ran.run(folder, Map.of(), command).exit()).isZero();
    }
    Files.copy(SHIPPED.resolve("borewarden.acl"), folder.resolve("borewarden.acl"));
  }

  private static Process mosquitto() throws IOException {
    String shipped = Files.readString(SHIPPED.resolve("borewarden.conf"));
    String here =
        shipped
            .replace("listener 8883", "listener " + certificatePort + " localhost")
            .replace("listener 8884", "listener " + passwordPort + " localhost")
            .replace("/etc/mosquitto/", folder + "/")
            .replace("/var/lib/mosquitto/", folder + "/");
    // Started as root the broker would become another user, who may not read this test's folder.
    String root = "root".equals(System.getProperty("user.name")) ? "user root\n" : "";
    Files.writeString(folder.resolve("mosquitto.conf"), root + here);
    String program =
        Files.isExecutable(Path.of("/usr/sbin/mosquitto")) ? "/usr/sbin/mosquitto" : "mosquitto";
    return new ProcessBuilder(program, "-c", "mosquitto.conf")
        .directory(folder.toFile())
        .redirectErrorStream(true)
        .redirectOutput(folder.resolve("mosquitto.log").toFile())
        .start();
  }

  private static boolean answers() {
    await()
        .atMost(Duration.ofSeconds(20))
        .pollInterval(Duration.ofMillis(50))
        .until(() -> !broker.isAlive() || (open(certificatePort) && open(passwordPort)));
    return broker.isAlive();
  }

  private static boolean open(int port) {
    try (Socket socket = new Socket("localhost", port)) {
      return socket.isConnected();
    } catch (IOException notYet) {
      return false;
    }
  }

  private static String log() throws IOException {
    return Files.readString(folder.resolve("mosquitto.log"));
  }

  private static int freePort() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  /** A client that subscribes to everything and writes down which topics it is given. */
  private static final class Subscriber implements AutoCloseable {
    private final Path output;
    private final Process process;

    Subscriber(String account) throws IOException {
      output = Files.createTempFile(folder, "subscriber", ".txt");
      boolean agent = account.equals(AGENT);
      // -R: no retained messages of earlier tests; -d says when the subscription stands.
      List<String> command = new ArrayList<>(List.of("stdbuf", "-oL", "mosquitto_sub", "-V", "5"));
      command.addAll(List.of("-q", "1", "-R", "-d", "-h", "localhost", "-p"));
      command.add(Integer.toString(agent ? certificatePort : passwordPort));
      command.addAll(agent ? asAgent() : asRole(account));
      command.addAll(List.of("-t", "#", "-F", "GIVEN %t"));
      process =
          new ProcessBuilder(command)
              .redirectErrorStream(true)
              .redirectOutput(output.toFile())
              .start();
      await()
          .atMost(Duration.ofSeconds(20))
          .until(() -> Files.readString(output).contains("SUBACK"));
    }

    List<String> topics() throws IOException {
      return Files.readAllLines(output).stream()
          .filter(line -> line.startsWith("GIVEN "))
          .map(line -> line.substring("GIVEN ".length()))
          .toList();
    }

    void awaitTopic(String topic) {
      await().atMost(Duration.ofSeconds(20)).until(() -> topics().contains(topic));
    }

    @Override
    public void close() {
      process.destroy();
      await().atMost(Duration.ofSeconds(20)).until(() -> !process.isAlive());
    }
  }
}
