package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;

/**
 * A mosquitto on the shipped configuration, access list and certificates, with only its ports and
 * folders changed.
 */
final class ShippedBroker implements AutoCloseable {
  static final String ROOT = "northworks/housings/cell-4";
  static final String AGENT = "borewarden-cell-4";
  static final String PASSWORD = "for-this-test-only";
  static final List<String> ROLES =
      List.of("inspector", "setter", "supervisor", "quality", "cell", "it");
  static final String DENIED = "RC:135";

  private static final Path SHIPPED = Path.of("../deploy/mosquitto").toAbsolutePath().normalize();
  private static final int TRIES = 4;

  private final Path folder;
  private final int certificatePort;
  private final int passwordPort;
  private final Process process;

  private ShippedBroker(Path folder) throws IOException {
    this.folder = folder;
    this.certificatePort = TestBroker.freePort();
    this.passwordPort = TestBroker.freePort();
    this.process = mosquitto();
  }

  /** Starts one in an empty folder. */
  static ShippedBroker start(Path folder) throws Exception {
    for (String program : List.of("mosquitto", "mosquitto_pub", "mosquitto_passwd", "openssl")) {
      Peers.require(program);
    }
    certificates(folder);
    passwords(folder);
    for (int attempt = 1; attempt < TRIES; attempt++) {
      ShippedBroker broker = new ShippedBroker(folder);
      if (broker.answers()) {
        return broker;
      }
    }
    throw new AssertionError(
        "mosquitto does not take the configuration: "
            + Files.readString(folder.resolve("mosquitto.log")));
  }

  int certificatePort() {
    return certificatePort;
  }

  int passwordPort() {
    return passwordPort;
  }

  /** A file that make-certificates.sh made. */
  Path certificate(String name) {
    return folder.resolve("certs").resolve(name);
  }

  String publishAsAgent(String topic) throws Exception {
    return publish(certificatePort, asAgent(), topic).output();
  }

  String publishAs(String role, String topic) throws Exception {
    return publish(passwordPort, asRole(role), topic).output();
  }

  /** One publish of {@code x}, or what the identity's words say. */
  Ran publish(int port, List<String> identity, String topic) throws Exception {
    List<String> command = new ArrayList<>(List.of("mosquitto_pub", "-V", "5", "-q", "1", "-d"));
    command.addAll(List.of("-h", "localhost", "-p", Integer.toString(port)));
    command.addAll(identity);
    command.addAll(List.of("-t", topic));
    if (!identity.contains("-m")) {
      command.addAll(List.of("-m", "x"));
    }
    return Ran.run(folder, Map.of(), command);
  }

  List<String> asAgent() {
    return List.of(
        "--cafile", certificate("ca.crt").toString(),
        "--cert", certificate(AGENT + ".crt").toString(),
        "--key", certificate(AGENT + ".key").toString());
  }

  List<String> asRole(String role) {
    return List.of("--cafile", certificate("ca.crt").toString(), "-u", role, "-P", PASSWORD);
  }

  private static void certificates(Path folder) throws Exception {
    Ran ran =
        Ran.run(
            folder,
            Map.of(),
            List.of(
                SHIPPED.resolve("make-certificates.sh").toString(), "certs", "localhost", AGENT));
    assertThat(ran.exit()).as(ran.output()).isZero();
  }

  private static void passwords(Path folder) throws Exception {
    Path passwords = Files.createFile(folder.resolve("borewarden.passwd"));
    for (String role : ROLES) {
      List<String> command =
          List.of("mosquitto_passwd", "-b", passwords.toString(), role, PASSWORD);
      assertThat(Ran.run(folder, Map.of(), command).exit()).isZero();
    }
    Files.copy(SHIPPED.resolve("borewarden.acl"), folder.resolve("borewarden.acl"));
  }

  private Process mosquitto() throws IOException {
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
    return new ProcessBuilder(Peers.program("mosquitto").toString(), "-c", "mosquitto.conf")
        .directory(folder.toFile())
        .redirectErrorStream(true)
        .redirectOutput(folder.resolve("mosquitto.log").toFile())
        .start();
  }

  private boolean answers() {
    await()
        .atMost(Duration.ofSeconds(20))
        .pollInterval(Duration.ofMillis(50))
        .until(() -> !process.isAlive() || (open(certificatePort) && open(passwordPort)));
    return process.isAlive();
  }

  private static boolean open(int port) {
    try (Socket socket = new Socket("localhost", port)) {
      return socket.isConnected();
    } catch (IOException notYet) {
      return false;
    }
  }

  @Override
  public void close() {
    process.destroy();
    await().atMost(Duration.ofSeconds(20)).until(() -> !process.isAlive());
  }
}
