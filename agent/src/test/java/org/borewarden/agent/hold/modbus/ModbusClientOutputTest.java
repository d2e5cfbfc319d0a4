package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.controller.Part;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The agent calls the simulated controller, over real connections. */
class ModbusClientOutputTest {
  private static final NumberedFeature SEAT = new NumberedFeature("bearing-seat", "bore-1");

  private static final Duration BEAT = Duration.ofMillis(100);

  private final Recorder inbox = new Recorder();
  private final List<Duration> latencies = new CopyOnWriteArrayList<>();
  private Controller controller;
  private ModbusClientOutput output;
  private LoopStandIn loop;

  @BeforeEach
  void start() throws Exception {
    controller = Controller.start(Controller.Settings.loopback(Duration.ofMillis(60)));
    agent();
  }

  private void agent() {
    output = new ModbusClientOutput("cell-4", config(controller.port()), wires());
    output.start();
    loop = new LoopStandIn(output, Images.permitted(), BEAT);
  }

  private Wires wires() {
    LinkMeter meter =
        new LinkMeter() {
          @Override
          public void withdrawn(Duration latency) {
            latencies.add(latency);
          }
        };
    return new Wires(inbox, System::nanoTime, meter, number -> Optional.of(SEAT));
  }

  static CellConfig.Modbus config(int port) {
    return new CellConfig.Modbus(
        false,
        "127.0.0.1",
        port,
        1,
        100,
        200,
        BEAT,
        Duration.ofMillis(400),
        Duration.ofMillis(500),
        Duration.ofSeconds(1),
        List.of());
  }

  @AfterEach
  void stop() throws IOException {
    loop.close();
    output.close();
    controller.close();
  }

  @Test
  void beatsGiveThePermitAndTheEchoBringsTheLinkUp() {
    running();
    assertThat(inbox.links()).containsExactly(true);
    assertThat(output.linkUp()).isTrue();
    assertThat(output.echoAge()).isLessThan(Duration.ofSeconds(30));
    Await.until("the cell cuts", () -> controller.state().partsFinished() > 2);
    Await.until(
        "and says so",
        () -> inbox.report().filter(r -> r.partsFinished().orElse(0L) > 2).isPresent());
    assertThat(inbox.report().orElseThrow().automatic()).isTrue();
  }

  @Test
  void aHoldStopsTheCellAtTheEndOfItsPartAndIsHeard() {
    running();
    loop.show(Images.held(12, StopKind.END_OF_PART));
    Await.until("stopped", () -> controller.state().stoppedAtStart());
    assertThat(controller.state().inCycle()).isFalse();
    Await.until(
        "heard and stopped",
        () -> inbox.report().filter(r -> r.stoppedAtPartEnd() && r.heardHold() == 12).isPresent());
    assertThat(inbox.report().orElseThrow().heardKind()).contains(StopKind.END_OF_PART);

    loop.show(Images.permitted());
    Await.until("permitted again", () -> controller.state().permit());
    assertThat(controller.state().stoppedAtStart()).as("nobody has started it").isTrue();
    controller.pressStart();
    Await.until("started by a person", () -> !controller.state().stoppedAtStart());
  }

  @Test
  void aRaiseIsWrittenAtOnceAndNotWithTheNextBeat() throws Exception {
    loop.close();
    output.close();
    controller.close();
    controller = Controller.start(Controller.Settings.loopback(Duration.ofMillis(60)));
    output = new ModbusClientOutput("cell-4", config(controller.port()), wires());
    output.start();
    // Beats so far apart that a raise which waited for one would be seen.
    Duration slow = Duration.ofMillis(900);
    loop = new LoopStandIn(output, Images.permitted(), slow);
    Await.until("permit bit", () -> (controller.blockA()[2] & 1) == 1);
    List<Long> micros = new ArrayList<>();
    for (int i = 1; i <= 50; i++) {
      loop.show(Images.permitted());
      Await.until("permit bit on", () -> (controller.blockA()[2] & 1) == 1);
      long raised = System.nanoTime();
      loop.show(Images.held(i, StopKind.END_OF_PART));
      while ((controller.blockA()[2] & 1) == 1) {
        Thread.onSpinWait();
      }
      micros.add((System.nanoTime() - raised) / 1000);
    }
    micros.sort(null);
    System.out.printf(
        "raise to permit word at the peer, loopback: median %d us, p98 %d us, max %d us%n",
        micros.get(25), micros.get(48), micros.get(49));
    assertThat(micros.get(25)).as("median, microseconds").isLessThan(450_000);
    Await.until("each is counted once", () -> latencies.size() >= 49);
    assertThat(latencies).hasSizeLessThanOrEqualTo(50);
  }

  @Test
  void aPartAtTheGaugeIsToldAndItsContextIsTaken() {
    running();
    Await.until("a part", () -> controller.state().partsToGauge() > 0);
    Part part = controller.partToGauge().orElseThrow();
    Await.until(
        "its context",
        () ->
            inbox
                .report()
                .filter(r -> r.context().serial().equals(Optional.of(part.serial())))
                .isPresent());
    assertThat(inbox.report().orElseThrow().partAtGauge()).isTrue();
    assertThat(inbox.report().orElseThrow().context().tool()).contains("7");
    assertThat(inbox.report().orElseThrow().context().part()).hasValue(part.number());
    Await.until("taken", () -> controller.blockA()[18] == 1);
  }

  @Test
  void aRequestOfTheCellIsAnsweredInItsRegisters() {
    running();
    controller.changeTool();
    Await.until("the command", () -> !inbox.commands().isEmpty());
    output.answered(inbox.commands().get(0).id(), AnswerCode.SUPERSEDED);
    Await.until("the answer", () -> controller.state().requestAnswered() == 1);
    assertThat(controller.state().answerCode()).isEqualTo(4);
  }

  @Test
  void aStalledLoopIsNoPermitAndNotTheLinksFault() {
    running();
    loop.stall(true);
    Await.until("no permit", () -> !controller.state().permit());
    long writes = controller.writes();
    loop.stall(false);
    Await.until("permit again", () -> controller.state().permit());
    assertThat(controller.writes()).isGreaterThan(writes);
    assertThat(inbox.links()).containsExactly(true);
  }

  @Test
  void aDeadAgentIsNoPermitWithinTheTimeOut() {
    running();
    loop.close();
    long since = System.nanoTime();
    Await.until("no permit", () -> !controller.state().permit());
    long millis = (System.nanoTime() - since) / 1_000_000;
    System.out.printf("agent's last beat to no permit at the cell: %d ms%n", millis);
    assertThat(millis).isGreaterThan(800);
  }

  @Test
  void aFrozenProgramIsALostLinkThoughItsServerAnswers() {
    running();
    controller.freeze(true);
    Await.until("lost", () -> !output.linkUp());
    controller.freeze(false);
    Await.until("back", output::linkUp);
    assertThat(inbox.links()).containsExactly(true, false, true);
  }

  @Test
  void aWrongEchoIsALostLinkThoughItMoves() {
    running();
    controller.wrongEcho(true);
    Await.until("lost", () -> !output.linkUp());
    controller.wrongEcho(false);
    Await.until("back", output::linkUp);
  }

  @Test
  void aRestartOfTheControllerIsSeenInItsStartCountAndItWaitsForAPerson() {
    running();
    int before = inbox.report().orElseThrow().startCount().orElseThrow();
    controller.restart();
    Await.until(
        "the new start count",
        () -> inbox.report().filter(r -> r.startCount().orElse(0) == before + 1).isPresent());
    Await.until("permitted", () -> controller.state().permit());
    assertThat(controller.state().stoppedAtStart()).isTrue();
    assertThat(controller.state().inCycle()).isFalse();
  }

  @Test
  void afterAPowerCycleTheFirstWriteIsWithoutPermitAndWithANewerBeat() throws Exception {
    running();
    controller.powerOff();
    Await.until("lost", () -> !output.linkUp());
    int lastBefore = loop.beat();
    FirstWords first = new FirstWords(controller);
    controller.powerOn();
    int[] words = first.await();
    assertThat(words[2] & 1).isZero();
    assertThat(words[1]).isGreaterThan(lastBefore);
    Await.until("back", output::linkUp);
    Await.until("permitted", () -> controller.state().permit());
    assertThat(inbox.links()).containsExactly(true, false, true);
  }

  @Test
  void theFirstWriteOfAnAgentIsWithoutPermit() throws Exception {
    try (Controller other = Controller.start(Controller.Settings.loopback(Duration.ofMillis(60)))) {
      FirstWords first = new FirstWords(other);
      ModbusClientOutput fresh = new ModbusClientOutput("cell-4", config(other.port()), wires());
      fresh.start();
      try (LoopStandIn beats = new LoopStandIn(fresh, Images.permitted(), BEAT)) {
        assertThat(first.await()[2] & 1).isZero();
        Await.until("then permitted", () -> (other.blockA()[2] & 1) == 1 && beats.beat() > 1);
      } finally {
        fresh.close();
      }
    }
  }

  @Test
  void closingLeavesThePermitAbsent() {
    running();
    loop.close();
    output.close();
    assertThat(controller.blockA()[2] & 1).isZero();
  }

  @Test
  void closingWhileNobodyAnswersEndsWithinTwoSeconds() throws IOException, InterruptedException {
    running();
    controller.powerOff();
    long since = System.nanoTime();
    output.close();
    assertThat(System.nanoTime() - since).isLessThan(TimeUnit.SECONDS.toNanos(5));
  }

  @Test
  void aFullInboxDoesNotStopTheBeat() {
    running();
    inbox.full(true);
    int beat = loop.beat();
    Await.until("five more beats arrive", () -> controller.blockA()[1] > beat + 5);
    assertThat(controller.state().permit()).isTrue();
    inbox.full(false);
  }

  private void running() {
    Await.until("the link is up", output::linkUp);
    Await.until("permitted", () -> controller.state().permit());
    controller.pressStart();
    Await.until("automatic", () -> controller.state().automatic());
    Await.until("told", () -> inbox.report().filter(r -> r.automatic()).isPresent());
  }

  /** Catches the first image that is written from here on. */
  private static final class FirstWords implements CellListener {
    private final CompletableFuture<int[]> words = new CompletableFuture<>();

    FirstWords(Controller controller) {
      controller.listen(this);
    }

    @Override
    public void written(int[] blockA) {
      words.complete(blockA);
    }

    int[] await() throws Exception {
      return words.get(30, TimeUnit.SECONDS);
    }
  }
}
