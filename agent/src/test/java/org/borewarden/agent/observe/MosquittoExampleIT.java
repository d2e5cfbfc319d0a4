package org.borewarden.agent.observe;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;
import static org.borewarden.agent.observe.ShippedBroker.AGENT;
import static org.borewarden.agent.observe.ShippedBroker.DENIED;
import static org.borewarden.agent.observe.ShippedBroker.PASSWORD;
import static org.borewarden.agent.observe.ShippedBroker.ROLES;
import static org.borewarden.agent.observe.ShippedBroker.ROOT;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Starts mosquitto on the shipped configuration, with only its ports and folders changed, and tries
 * the access list with real clients. Each denial stands beside the same act by whom it is allowed.
 */
class MosquittoExampleIT {
  @TempDir private static Path folder;
  private static @Nullable ShippedBroker started;

  @BeforeAll
  static void startTheBroker() throws Exception {
    started = ShippedBroker.start(folder);
  }

  @AfterAll
  static void stopTheBroker() {
    if (started != null) {
      started.close();
    }
  }

  private static ShippedBroker broker() {
    return Objects.requireNonNull(started);
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
      assertThat(broker().publishAsAgent(ROOT + "/" + topic))
          .contains("PUBACK")
          .doesNotContain(DENIED);
    }
  }

  @Test
  void theAgentWritesNoCommandAndNothingOutsideItsRoot() throws Exception {
    assertThat(broker().publishAsAgent(ROOT + "/command/supervisor/release")).contains(DENIED);
    assertThat(broker().publishAsAgent("northworks/housings/cell-5/hold/cell-5")).contains(DENIED);
  }

  @Test
  void eachRoleWritesItsOwnCommandsOnly() throws Exception {
    for (String role : ROLES) {
      for (String other : ROLES) {
        String said = broker().publishAs(role, ROOT + "/command/" + other + "/acknowledge");
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
        assertThat(broker().publishAs(role, ROOT + "/" + topic))
            .as("%s %s", role, topic)
            .contains(DENIED);
      }
    }
  }

  @Test
  void aRoleReadsTheTreeAndItsOwnAnswersButNoCommandAndNoOtherAnswer() throws Exception {
    Subscriber supervisor = new Subscriber("supervisor");
    Subscriber inspector = new Subscriber("inspector");
    try (supervisor;
        inspector) {
      broker().publishAs("inspector", ROOT + "/command/inspector/discard");
      broker().publishAsAgent(ROOT + "/answer/inspector/bench");
      broker().publishAsAgent(ROOT + "/answer/supervisor/panel-2");
      broker().publishAsAgent(ROOT + "/verdict/bearing-seat");
      broker().publishAsAgent(ROOT + "/alert/forecast/bearing-seat/drift");
      broker().publishAsAgent(ROOT + "/hold/cell-4");
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
      broker().publishAs("setter", ROOT + "/command/setter/tool-changed");
      agent.awaitTopic(ROOT + "/command/setter/tool-changed");
    }
  }

  @Test
  void nobodyComesInWithoutANameOrWithAWrongPasswordOrWithoutACertificate() throws Exception {
    List<String> tls = List.of("--cafile", broker().certificate("ca.crt").toString());
    assertThat(broker().publish(broker().passwordPort(), tls, "t").exit()).isNotZero();
    List<String> wrong = new ArrayList<>(tls);
    wrong.addAll(List.of("-u", "supervisor", "-P", "guessed"));
    assertThat(broker().publish(broker().passwordPort(), wrong, "t").output())
        .contains("Not authorized");
    List<String> right = new ArrayList<>(tls);
    right.addAll(List.of("-u", "supervisor", "-P", PASSWORD));
    assertThat(broker().publish(broker().passwordPort(), right, "t").exit()).isZero();
    assertThat(broker().publish(broker().certificatePort(), right, "t").exit()).isNotZero();
    assertThat(
            broker()
                .publish(broker().passwordPort(), List.of("-u", "supervisor", "-P", PASSWORD), "t")
                .exit())
        .as("no TLS")
        .isNotZero();
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
      command.add(Integer.toString(agent ? broker().certificatePort() : broker().passwordPort()));
      command.addAll(agent ? broker().asAgent() : broker().asRole(account));
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
