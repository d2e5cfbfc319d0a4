package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import org.borewarden.agent.acceptance.Listener.Heard;
import org.borewarden.agent.acceptance.Plc.Seen;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.CleanupMode;
import org.junit.jupiter.api.io.TempDir;

/** The permit at the controller's registers and on the heartbeat topic, and how it comes back. */
class HoldIT {
  private static final int UNDERSIZE = 1;
  private static final int UNCLEAN_STOP = 6;
  private static final int SOURCE_LOST = 25;
  private static final Duration STOPS_WITHIN = Duration.ofSeconds(5);

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
  void aBoreOutOfLimitTakesThePermitAndOnlyASupervisorGivesItBack() throws Exception {
    AgentProcess agent = plant.startPermitted();
    plant.listener().await(Plant.BEAT, beat -> beat.at("/permit").equals("true"));
    assertPermitInRegisters(true);

    Plant.send(plant.millimetres(), "61.990");

    Seen held = plant.plc().await("the hold", seen -> seen.latched() && !seen.permit());
    assertThat(held.reason()).isEqualTo(UNDERSIZE);
    assertThat(held.hold()).isEqualTo(1);
    assertThat(held.feature()).isEqualTo(1);
    assertPermitInRegisters(false);
    plant.listener().await(Plant.BEAT, beat -> beat.at("/permit").equals("false"));
    Heard shown = plant.listener().await(Plant.HOLD, hold -> hold.at("/heard").equals("true"));
    assertThat(shown.at("/causes/0/reason")).isEqualTo("undersize");
    assertThat(shown.at("/causes/0/feature")).isEqualTo("bearing-seat");

    Plant.send(plant.millimetres(), "62.010", "62.011");
    plant.listener().awaitRecords("verdict/bearing-seat", 3);
    assertThat(plant.plc().permitted()).as("good bores clear no hold").isFalse();

    String command = plant.release();
    JsonNode answer = Listener.json(plant.ask("supervisor", "release", command));
    assertThat(answer.at("/code").asText()).as("%s", answer).isEqualTo("accepted");
    assertThat(answer.at("/seq").asLong()).isPositive();
    plant.plc().awaitPermit();
    assertPermitInRegisters(true);
    plant.listener().await(Plant.BEAT, beat -> beat.at("/permit").equals("true"));
    Heard released = plant.listener().await(Plant.HOLD, hold -> hold.at("/permit").equals("true"));
    assertThat(released.at("/by")).isEqualTo("supervisor-3");
    assertThat(released.at("/hold")).isEqualTo("0");
    agent.awaitMetric("borewarden_permit{cell=\"cell-4\"} 1.0");
    plant.listener().assertGapFree();
  }

  @Test
  void aReleaseOfAnotherRoleOrWithAnOldRevisionGivesNothingBack() throws Exception {
    plant.startPermitted();
    Plant.send(plant.millimetres(), "61.990");
    plant.listener().await(Plant.HOLD, hold -> hold.at("/heard").equals("true"));
    String seen = plant.release();
    assertThat(code(plant.ask("setter", "release", seen))).isEqualTo("no-right");
    String guessed = seen.replaceFirst("\"challenge\":\"[0-9a-f]+\"", "\"challenge\":\"0000\"");
    assertThat(code(plant.ask("supervisor", "release", guessed))).isEqualTo("replayed");

    String before = plant.release();
    Plant.send(plant.inches(), "0.8746");
    plant.listener().await(Plant.HOLD, hold -> hold.json().at("/causes").size() == 2);

    assertThat(code(plant.ask("supervisor", "release", before))).isIn("superseded", "replayed");
    assertThat(plant.plc().permitted()).isFalse();
    assertThat(code(plant.ask("supervisor", "release", plant.release()))).isEqualTo("accepted");
    plant.plc().awaitPermit();
  }

  @Test
  void afterAKillTheAgentIsSaidOfflineAndTheNextStartIsHeldUntilReleased() throws Exception {
    AgentProcess agent = plant.startPermitted();
    int boot = plant.plc().now().orElseThrow().boot();
    Plant.send(plant.millimetres(), "62.010");
    plant.listener().awaitRecords("verdict/bearing-seat", 1);

    agent.kill();

    Heard will = plant.listener().await("agent", a -> a.at("/state").equals("offline"));
    assertThat(will.at("/why")).isEqualTo("connection-lost");
    plant.plc().await("no permit by silence", seen -> !seen.permit() && seen.boot() == boot);

    plant.startAgent();
    Seen held = plant.plc().await("the hold", seen -> seen.boot() != boot && seen.latched());
    assertThat(held.reason()).isEqualTo(UNCLEAN_STOP);
    plant.listener().await("agent", a -> a.at("/state").equals("online"));
    plant.listener().await(Plant.HOLD, hold -> hold.at("/heard").equals("true"));
    assertThat(code(plant.ask("supervisor", "release", plant.release()))).isEqualTo("accepted");
    plant.plc().awaitPermit();
    List<Seen> sinceStart =
        plant.plc().history().stream().dropWhile(seen -> seen.boot() == boot).toList();
    assertThat(sinceStart.get(0).permit()).as("the first output of a start").isFalse();
    plant.listener().assertGapFree();
  }

  @Test
  void anOrderlyStopIsQuickAndNeedsNoReleaseAfterwards() throws Exception {
    AgentProcess agent = plant.startPermitted();
    int boot = plant.plc().now().orElseThrow().boot();
    Plant.send(plant.millimetres(), "62.010");
    plant.listener().awaitRecords("verdict/bearing-seat", 1);

    Duration took = agent.terminate();

    assertThat(agent.exit()).as(agent.said()).isZero();
    assertThat(took).isLessThan(STOPS_WITHIN);
    Heard offline = plant.listener().await("agent", a -> a.at("/state").equals("offline"));
    assertThat(offline.at("/why")).isEqualTo("stopped");
    plant.plc().await("no permit", seen -> !seen.permit());

    plant.startAgent();
    plant.plc().await("the permit again", seen -> seen.boot() != boot && seen.permit());
    assertThat(plant.plc().history()).noneMatch(Seen::latched);
    Plant.send(plant.millimetres(), "62.011");
    plant.listener().awaitRecords("verdict/bearing-seat", 2);
    plant.listener().assertGapFree();
  }

  @Test
  void aPulledPlugWithholdsThePermitAndGivesItBackByItself() throws Exception {
    AgentProcess agent = plant.startPermitted();

    plant.millimetres().unplug();

    Heard lost = plant.listener().await("gauge/bore-1", g -> g.at("/connected").equals("false"));
    assertThat(lost.at("/detail")).contains(plant.millimetres().agentEnd().toString());
    Seen away = plant.plc().await("no permit", seen -> !seen.permit());
    assertThat(away.reason()).isEqualTo(SOURCE_LOST);
    assertThat(away.latched()).isFalse();
    Heard shown = plant.listener().await(Plant.HOLD, hold -> hold.at("/permit").equals("false"));
    assertThat(shown.at("/conditions/0/condition")).isEqualTo("source-lost");
    assertThat(shown.at("/conditions/0/subject")).isEqualTo("bore-1");
    assertThat(agent.page("/readyz").statusCode()).isEqualTo(503);
    assertThat(agent.page("/readyz").body()).contains("bore-1");

    plant.millimetres().plug();

    plant.listener().await("gauge/bore-1", g -> g.at("/connected").equals("true"));
    plant.plc().awaitPermit();
    assertThat(plant.plc().history()).noneMatch(Seen::latched);
    Waiting.until("ready again", () -> ready(agent));
  }

  @Test
  void whoeverComesLateFindsHowThingsStand() throws Exception {
    plant.startPermitted();
    Plant.send(plant.millimetres(), "62.010", "62.012");
    plant.listener().awaitRecords("verdict/bearing-seat", 2);
    plant.listener().await("trend/bearing-seat", t -> t.at("/bores").equals("2"));
    plant.listener().await("gauge/bore-1", g -> g.at("/readings").equals("2"));

    Listener late = plant.lateListener();

    assertThat(late.await("agent", Heard::retained).at("/state")).isEqualTo("online");
    assertThat(late.await("gauge/bore-1", Heard::retained).at("/readings")).isEqualTo("2");
    Heard trend = late.await("trend/bearing-seat", Heard::retained);
    assertThat(trend.at("/last_verdict")).isEqualTo("within");
    Heard hold = late.await(Plant.HOLD, Heard::retained);
    assertThat(hold.at("/valid_with")).isEqualTo("heartbeat");
    assertThat(hold.at("/permit")).isEqualTo("true");
    Heard beat = late.await(Plant.BEAT, message -> true);
    assertThat(hold.at("/boot")).isEqualTo(beat.at("/boot"));
    assertThat(late.on(Plant.BEAT)).noneMatch(Heard::retained);
    assertThat(late.records("reading/bore-1")).as("events are not retained").isEmpty();
  }

  private void assertPermitInRegisters(boolean permit) {
    List<Integer> a = plant.plc().registers();
    int beat = a.get(1);
    assertThat(a.get(0)).isEqualTo(0x0101);
    assertThat(a.get(2) & 1).isEqualTo(permit ? 1 : 0);
    assertThat(a.get(3)).isEqualTo(a.get(2) ^ beat ^ 0xA55A);
    assertThat(a.get(19)).isEqualTo(beat);
    Waiting.until("another beat", () -> plant.plc().registers().get(1) != beat);
  }

  private static String code(String answer) {
    return Listener.json(answer).at("/code").asText();
  }

  private static boolean ready(AgentProcess agent) {
    try {
      return agent.page("/readyz").statusCode() == 200;
    } catch (Exception notYet) {
      return false;
    }
  }
}
