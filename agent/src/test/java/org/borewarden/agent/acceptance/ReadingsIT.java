package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.tuple;

import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.stream.Stream;
import org.borewarden.agent.acceptance.Listener.Heard;
import org.borewarden.demo.machine.GaugePort;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;

/** From the bytes of a gauge to what the others on the broker hear. */
class ReadingsIT {
  private static final long SEED = 20_264L;
  private static final String SEAT = "verdict/bearing-seat";
  private static final String COVER = "verdict/cover-bore";

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
  void everyReadingOfABurstArrivesInOrderWithItsDigits() throws Exception {
    AgentProcess agent = plant.startPermitted();
    Random random = new Random(SEED);
    List<String> values =
        Stream.generate(() -> "62.0" + (10 + random.nextInt(16))).limit(200).toList();

    Plant.send(plant.millimetres(), values.toArray(String[]::new));

    List<Heard> readings = plant.listener().awaitRecords("reading/bore-1", values.size());
    assertThat(readings).extracting(r -> written(r, "value")).isEqualTo(values);
    plant.listener().awaitRecords(SEAT, values.size());
    assertThat(plant.listener().records(SEAT))
        .allSatisfy(verdict -> assertThat(verdict.at("/verdict")).isEqualTo("within"));
    plant.listener().assertGapFree();
    agent.awaitMetric("borewarden_readings_total{gauge=\"bore-1\"} 200.0");
  }

  @Test
  void eachVerdictSaysTheSizeTheLimitsAndWhatMayBecomeOfThePart() throws Exception {
    plant.startPermitted();

    Plant.send(plant.millimetres(), "62.010", "62.000", "62.030", "61.999", "62.031");

    assertThat(plant.listener().awaitRecords(SEAT, 5))
        .extracting(v -> written(v, "value"), v -> v.at("/verdict"), v -> v.at("/disposition"))
        .containsExactly(
            tuple("62.010", "within", ""),
            tuple("62.000", "within", ""),
            tuple("62.030", "within", ""),
            tuple("61.999", "undersize", "rework"),
            tuple("62.031", "oversize", "scrap"));
    Heard first = plant.listener().records(SEAT).get(0);
    assertThat(written(first, "deviation")).isEqualTo("0.010");
    assertThat(written(first, "lower")).isEqualTo("62.000");
    assertThat(written(first, "upper")).isEqualTo("62.030");
    assertThat(first.at("/part_number")).isEqualTo("housing-31");
    Heard reading = plant.listener().records("reading/bore-1").get(0);
    assertThat(first.json().at("/readings/0")).isEqualTo(reading.json().at("/seq"));
    plant.listener().assertGapFree();
  }

  @Test
  void anInchHoleIsJudgedAsTheTradeDoesAndKeepsAllFiveDecimals() throws Exception {
    AgentProcess agent = plant.startPermitted();

    Plant.send(plant.inches(), "0.8746", "0.8767", "0.8757", ".87541");

    assertThat(plant.listener().awaitRecords(COVER, 4))
        .extracting(v -> v.at("/verdict"))
        .containsExactly("undersize", "oversize", "within", "within");
    assertThat(plant.listener().records("reading/bore-3"))
        .extracting(r -> written(r, "value"), r -> r.at("/unit"), r -> r.at("/pm"))
        .containsExactly(
            tuple("0.8746", "in", "22214840000"),
            tuple("0.8767", "in", "22268180000"),
            tuple("0.8757", "in", "22242780000"),
            tuple("0.87541", "in", "22235414000"));
    assertThat(plant.journal().bodies("reading-taken").get(3)).contains("\"value\":0.87541,");
    agent.awaitMetric("borewarden_bore_meters{feature=\"cover-bore\"} 0.022235414");
    agent.awaitMetric("borewarden_bores_total{feature=\"cover-bore\",verdict=\"within\"} 2.0");
  }

  @Test
  void bytesThatAreNoReadingAreRejectedWithTheReasonAndNothingElseIsLost() throws Exception {
    AgentProcess agent = plant.startPermitted();

    Plant.send(
        plant.millimetres(),
        "62.011",
        "setting",
        "62.O12",
        "62.",
        "\u0007\u00ff62.013",
        "9".repeat(200),
        "62.014");

    plant.listener().awaitRecords("reading/bore-1", 2);
    assertThat(plant.listener().records("reading/bore-1"))
        .extracting(r -> written(r, "value"))
        .containsExactly("62.011", "62.014");
    List<Heard> rejected = plant.listener().awaitRecords("rejected/bore-1", 5);
    assertThat(rejected)
        .extracting(r -> r.at("/why"))
        .containsExactly("no-match", "no-match", "bad-number", "not-text", "too-long");
    assertThat(rejected.get(0).at("/excerpt")).isEqualTo("setting");
    assertThat(rejected.get(1).at("/detail")).contains("expected").contains("found");
    plant.listener().assertGapFree();
    agent.awaitMetric("borewarden_frames_rejected_total{gauge=\"bore-1\",why=\"too-long\"} 1.0");
  }

  @Test
  void halfAFrameOnEitherSideOfAPulledPlugNeverBecomesAReading() throws Exception {
    AgentProcess agent = plant.startPermitted();
    Plant.send(plant.millimetres(), "62.010");
    plant.listener().awaitRecords("reading/bore-1", 1);

    plant.millimetres().send("62.0");
    // Stopped, so that the other half is there before the agent looks at the line again.
    agent.signal("STOP");
    plant.millimetres().unplug();
    plant.millimetres().plug();
    plant.millimetres().send("15\r\n");
    agent.signal("CONT");
    agent.awaitSaid("port bore-1 lost");
    plant.plc().awaitPermit();
    Plant.send(plant.millimetres(), "62.011");

    assertThat(plant.listener().awaitRecords("reading/bore-1", 2))
        .extracting(r -> written(r, "value"))
        .containsExactly("62.010", "62.011");
    // The first half may still lie in the driver when the plug is pulled, and is then seen by
    // nobody.
    assertThat(plant.listener().awaitRecords("rejected/bore-1", 1))
        .allSatisfy(r -> assertThat(r.at("/why")).isEqualTo("partial"))
        .allSatisfy(r -> assertThat(r.at("/excerpt")).isIn("62.0", "15"));
    plant.listener().assertGapFree();
  }

  @Test
  void aGaugeOverTcpAndABrokerOfVersion311ServeTheSame() throws Exception {
    try (GaugePort gauge = GaugePort.open(0)) {
      plant.changeAgentYaml("version: 5", "version: 3.1.1");
      plant.changeAgentYaml(
          "serial: " + plant.millimetres().agentEnd(), "tcp: \"127.0.0.1:" + gauge.port() + "\"");
      plant.startPermitted();

      gauge.send("");
      gauge.send("62.010 mm");
      gauge.send("61.990");

      assertThat(plant.listener().awaitRecords(SEAT, 2))
          .extracting(v -> written(v, "value"), v -> v.at("/verdict"))
          .containsExactly(tuple("62.010", "within"), tuple("61.990", "undersize"));
      plant.listener().assertGapFree();
      plant.listener().await(Plant.BEAT, beat -> beat.at("/permit").equals("false"));

      String command = plant.release().replaceFirst("}$", answerTo("office"));
      Client.run(
          "mosquitto_pub",
          "-p",
          "" + plant.broker().port(),
          "-V",
          "311",
          "-q",
          "1",
          "-t",
          Plant.ROOT + "/command/supervisor/release",
          "-m",
          command);
      Heard answer = plant.listener().await("answer/office", message -> true);
      assertThat(answer.at("/code")).as(answer.text()).isEqualTo("accepted");
      plant.plc().awaitPermit();
    }
  }

  private static String answerTo(String name) {
    return ",\"answer_to\":\"" + Plant.ROOT + "/answer/" + name + "\"}";
  }

  /** A number with the digits that stand in the payload. */
  private static String written(Heard message, String member) {
    return message.json().at("/" + member).decimalValue().toPlainString();
  }
}
