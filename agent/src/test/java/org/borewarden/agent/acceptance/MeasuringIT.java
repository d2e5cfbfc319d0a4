package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.uuid.Generators;
import java.nio.file.Path;
import java.util.List;
import org.borewarden.agent.acceptance.Listener.Heard;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;

/** A morning at the gauge: the ring, bores of two places, one measured again, the ring again. */
class MeasuringIT {
  private static final String SEAT = "verdict/bearing-seat";

  private static final String RULES =
      """
      part: housing-31
      drawing: asme
      rings:
        - {id: R62, size: 62.0013 mm, uncertainty: {U: 1.2 um, k: 3}, certificate: K-2026-113}
      gauges:
        - id: bore-1
          head: two-point
          resolution: 1 um
          repeatability: 0.6 um
          ring-check: {ring: R62, error-limit: 2 um}
      features:
        - id: bearing-seat
          gauge: bore-1
          nominal: 62.000 mm
          upper: +0.030 mm
          lower: 0 mm
          plan: {depths: [entry, end], angles: [0]}
          confirm: {readings: 3, span: 2 um, gross: 5 um}
        - id: cover-bore
          part: cover-7
          gauge: bore-3
          nominal: 0.8750 in
          upper: +0.00128 in
          lower: 0 in
      """;

  @TempDir(cleanup = CleanupMode.ON_SUCCESS)
  private Path folder;

  private Plant plant;

  @BeforeEach
  void build() throws Exception {
    plant = new Plant(folder);
    plant.rulesYaml(RULES);
  }

  @AfterEach
  void tearDown() throws Exception {
    plant.close();
  }

  @Test
  void noBoreIsBelievedBeforeTheRingAndTheListIsThereWhenTheRingFails() throws Exception {
    plant.startAgent();
    plant.listener().await(Plant.HOLD, hold -> hold.text().contains("gauge-belief"));
    onTheRing("62.001", "62.001", "62.002");
    plant.plc().awaitPermit();

    // Two places are one bore; both readings stand in its verdict.
    Plant.send(plant.millimetres(), "62.003", "62.008");
    Heard within = verdict(1);
    assertThat(within.at("/verdict")).isEqualTo("within");
    assertThat(within.json().at("/readings")).hasSize(2);
    assertThat(within.text()).contains("envelope-not-provable").contains("R62", "K-2026-113");

    // Out of limit: the permit is off while it is measured again, and comes back by itself.
    Plant.send(plant.millimetres(), "62.012", "62.032");
    assertThat(verdict(2).at("/verdict")).isEqualTo("confirming");
    plant.plc().await("the permit off while it is measured again", seen -> !seen.permit());
    Plant.send(plant.millimetres(), "62.028", "62.028");
    plant.listener().awaitRecords(SEAT, 4);
    Heard confirmed = verdict(4);
    assertThat(confirmed.at("/verdict")).isEqualTo("within");
    assertThat(confirmed.text()).contains("first-reading-out");
    plant.plc().awaitPermit();

    // Four decimals of an inch, a limit of five: it keeps its digits, and is not rounded to 0.8763.
    Plant.send(plant.inches(), "0.8763");
    Heard cover = plant.listener().awaitRecords("verdict/cover-bore", 1).get(0);
    assertThat(cover.at("/verdict")).isEqualTo("oversize");
    assertThat(cover.text()).contains("\"value\":0.8763,").contains("\"upper\":0.87628,");

    // The gauge reads 4.7 um too large on its ring: the first bore may be undersize, and is listed.
    onTheRing("62.006", "62.006", "62.006");
    Heard recheck = plant.listener().await("recheck/bore-1", message -> true);
    assertThat(recheck.text()).contains("bearing-seat");
    plant.plc().await("the permit off for a gauge in doubt", seen -> !seen.permit());
    plant.listener().assertGapFree();
  }

  private Heard verdict(int count) {
    List<Heard> all = plant.listener().awaitRecords(SEAT, count);
    return all.get(count - 1);
  }

  private void onTheRing(String... readings) throws Exception {
    String command =
        "{\"id\":\""
            + Generators.timeBasedEpochGenerator().generate()
            + "\",\"gauge\":\"bore-1\",\"who\":\"inspector-2\"}";
    assertThat(plant.ask("inspector", "ring-check", command)).contains("accepted");
    Plant.send(plant.millimetres(), readings);
  }
}
