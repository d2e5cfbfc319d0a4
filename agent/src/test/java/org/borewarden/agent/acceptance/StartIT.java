package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.borewarden.agent.acceptance.Plc.Seen;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;

/** Files that are wrong, a folder that is taken. */
class StartIT {
  private static final int RULES_INVALID = 24;

  @TempDir(cleanup = CleanupMode.ON_SUCCESS)
  private Path folder;

  private Plant plant;

  @BeforeEach
  void build() throws Exception {
    plant = new Plant(folder);
  }

  @AfterEach
  void tearDown() throws Exception {
    plant.close();
  }

  @Test
  void wrongRulesDoNotStopTheAgentButGiveNoPermitAndAreSaid() throws Exception {
    plant.rulesYaml(
        """
        part: housing-31
        features:
          - id: bearing-seat
            gauge: bore-1
            nominal: 62.000 mm
            upper: 0.030 mm
            lower: 0 mm
        """);

    AgentProcess agent = plant.startAgent();

    Seen seen = plant.plc().await("why", s -> s.reason() == RULES_INVALID);
    assertThat(seen.permit()).isFalse();
    agent.awaitSaid("rules refused, 1 problems, the first: ");
    assertThat(agent.said().lines().filter(line -> line.contains("rules.yaml:6:")))
        .as("the place in the file")
        .isNotEmpty();
    assertThat(agent.page("/readyz").statusCode()).isEqualTo(503);
    assertThat(agent.page("/readyz").body()).contains("the rules file is refused", "rules.yaml:6:");
    assertThat(agent.page("/healthz").statusCode()).isEqualTo(200);
    Plant.send(plant.millimetres(), "62.010");
    plant.listener().awaitRecords("reading/bore-1", 1);
    assertThat(plant.listener().records("verdict/bearing-seat")).isEmpty();
    assertThat(plant.plc().history()).noneMatch(Seen::permit);

    // A hangup asks for another look and ends nothing; mended, the file gives the permit.
    agent.signal("HUP");
    agent.awaitSaid("rules.yaml says what it said before");
    plant.rulesYaml(
        """
        part: housing-31
        features:
          - id: bearing-seat
            gauge: bore-1
            nominal: 62.000 mm
            upper: +0.030 mm
            lower: 0 mm
        """);
    plant.plc().awaitPermit();
    assertThat(agent.page("/readyz").statusCode()).isEqualTo(200);
  }

  @Test
  void aWrongConfigEndsRunAndCheckWithEveryProblemOnALineOfItsOwn() throws Exception {
    plant.changeAgentYaml("agent: northworks-cell-4", "agnet: northworks-cell-4");
    plant.changeAgentYaml("unit: in", "unit: furlong");
    plant.changeAgentYaml("http: {port: 0}", "http: {port: 70000}");

    for (String command : List.of("run", "check")) {
      try (AgentProcess agent = AgentProcess.start(folder, command)) {
        assertThat(agent.exit()).isEqualTo(2);
        assertThat(agent.said().lines())
            .anySatisfy(line -> assertThat(line).contains("agent.yaml:1:1").contains("agnet"))
            .anySatisfy(line -> assertThat(line).contains("agent.yaml:8:").contains("furlong"))
            .anySatisfy(line -> assertThat(line).contains("agent.yaml:13:").contains("70000"));
      }
    }
    assertThat(folder.resolve("data")).as("nothing was begun").doesNotExist();
  }

  @Test
  void checkSaysWhatItUnderstoodAndBeginsNothing() throws Exception {
    try (AgentProcess check = AgentProcess.start(folder, "check")) {
      assertThat(check.exit()).as(check.said()).isZero();
      assertThat(check.said().lines())
          .contains(
              "agent northworks-cell-4, topics below northworks/housings/cell-4",
              "  commands: over MQTT, the broker's access list tells the roles; no local socket")
          .anyMatch(line -> line.startsWith("rules revision ") && line.endsWith(", 2 features"));
    }
    assertThat(folder.resolve("data")).doesNotExist();
    plant.rulesYaml("part: housing-31\nfeatures: []\n");
    try (AgentProcess check = AgentProcess.start(folder, "check")) {
      assertThat(check.exit()).isEqualTo(2);
      assertThat(check.said()).contains("rules.yaml:2:").endsWith("1 problem\n");
    }
  }

  @Test
  void aSecondAgentOnTheSameFolderIsRefusedAndTheFirstGoesOn() throws Exception {
    AgentProcess first = plant.startPermitted();

    AgentProcess second = plant.startAgent();

    assertThat(second.exit()).as(second.said()).isEqualTo(3);
    assertThat(second.said()).contains("in use by another agent (process " + first.pid() + ")");
    assertThat(first.alive()).isTrue();
    Plant.send(plant.millimetres(), "62.010");
    plant.listener().awaitRecords("verdict/bearing-seat", 1);
    assertThat(plant.plc().permitted()).isTrue();
    assertThat(plant.plc().history()).noneMatch(Seen::latched);
    assertThat(Files.readString(folder.resolve("data/agent.lock"), StandardCharsets.US_ASCII))
        .isEqualTo(first.pid() + "\n");
  }
}
