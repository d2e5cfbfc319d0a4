package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;
import org.borewarden.agent.acceptance.Listener.Heard;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;

/** Without a broker the agent judges on, and nothing is lost to those who listen. */
class BrokerAwayIT {
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
  void whatWasJudgedBeforeThereWasABrokerArrivesInOrderWhenItComes() throws Exception {
    plant.broker().kill();
    AgentProcess agent = plant.startPermitted();
    List<String> values = values(0, 60);
    Plant.send(plant.millimetres(), values.toArray(String[]::new));
    agent.awaitMetric("borewarden_bores_total{feature=\"bearing-seat\",verdict=\"within\"} 60.0");
    Waiting.until("all in the journal", () -> journalled("bore-judged") == 60);
    assertThat(plant.listener().records("reading/bore-1")).isEmpty();
    assertThat(plant.plc().permitted()).as("the broker only informs").isTrue();

    plant.broker().restart();

    List<Heard> readings = plant.listener().awaitRecords("reading/bore-1", 60);
    assertThat(readings).extracting(r -> size(r)).isEqualTo(values);
    plant.listener().awaitRecords("verdict/bearing-seat", 60);
    plant.listener().await("agent", a -> a.at("/state").equals("online"));
    plant.listener().await(Plant.BEAT, beat -> beat.at("/permit").equals("true"));
    plant.listener().assertGapFree();
    agent.awaitMetric("borewarden_outbox_messages 0.0");
  }

  @Test
  void aBrokerKilledWithMessagesUnderWayLeavesNoGapForWhoeverListens() throws Exception {
    plant.startPermitted();
    Plant.send(plant.millimetres(), values(0, 20).toArray(String[]::new));
    plant.listener().awaitRecords("verdict/bearing-seat", 20);

    // Frozen it takes bytes and acknowledges none: these are under way when it is killed.
    plant.broker().freeze();
    Plant.send(plant.millimetres(), values(20, 30).toArray(String[]::new));
    Waiting.until("all in the journal", () -> journalled("bore-judged") == 50);
    plant.broker().kill();
    Plant.send(plant.millimetres(), values(50, 30).toArray(String[]::new));
    Waiting.until("all in the journal", () -> journalled("bore-judged") == 80);
    plant.broker().restart();
    Plant.send(plant.millimetres(), values(80, 20).toArray(String[]::new));

    List<Heard> readings = plant.listener().awaitRecords("reading/bore-1", 100);
    assertThat(readings).extracting(r -> size(r)).isEqualTo(values(0, 100));
    plant.listener().awaitRecords("verdict/bearing-seat", 100);
    plant.listener().assertGapFree();
    assertThat(plant.plc().history()).noneMatch(Plc.Seen::latched);
  }

  /** Sizes within limits, each unlike the one before. */
  private static List<String> values(int from, int count) {
    return IntStream.range(from, from + count)
        .mapToObj(i -> String.format(Locale.ROOT, "62.%03d", 5 + i * 7 % 20))
        .toList();
  }

  private static String size(Heard reading) {
    return reading.json().at("/value").decimalValue().toPlainString();
  }

  private int journalled(String kind) {
    try {
      return plant.journal().bodies(kind).size();
    } catch (java.sql.SQLException busy) {
      return -1;
    }
  }
}
