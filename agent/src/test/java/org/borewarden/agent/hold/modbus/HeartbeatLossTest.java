package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.time.Duration;
import java.util.Optional;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.CellState;
import org.borewarden.demo.controller.Controller;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/**
 * The nine ways to lose the heartbeat: killed, stopped by the system, hanging loop, out of memory,
 * a cable that swallows, a cut cable, stale beats, one beat repeated, another boot id. Each begins
 * with a permit, and an agent that is well keeps it. The rules of the cell's program that make it
 * so are taken away one by one in the demo module (WatchdogAdversaryTest).
 */
class HeartbeatLossTest {
  /** What the contract allows: one beat period, the time-out, a scan; and a loaded test machine. */
  private static final Duration CONTRACT = Duration.ofMillis(250 + 1000 + 10);

  private final Recorder inbox = new Recorder();
  private final PermitTimes times = new PermitTimes();
  private Controller controller;
  private Line line;

  @BeforeEach
  void start() throws Exception {
    controller = Controller.start(Controller.Settings.loopback(Duration.ofMillis(60)));
    controller.listen(times);
    line = new Line(controller.port());
  }

  @AfterEach
  void stop() throws IOException {
    line.close();
    controller.close();
  }

  /** The control: what the others see is the loss, and not the harness. */
  @Test
  void anAgentThatIsWellKeepsThePermit() {
    ModbusClientOutput output = output(line.port());
    try (LoopStandIn loop = beats(output)) {
      Await.until("permit", times::permit);
      int losses = times.losses();
      int beat = loop.beat();
      int contract = (int) (CONTRACT.toMillis() / 250) + 2;
      Await.until("more beats than the contract waits for", () -> loop.beat() > beat + contract);
      assertThat(times.losses()).isEqualTo(losses);
    } finally {
      output.close();
    }
  }

  @Test
  void aKilledAgentIsNoPermit() throws IOException {
    try (AgentProcess agent = new AgentProcess(controller.port())) {
      Await.until("permit", times::permit);
      agent.kill();
      gone("killed");
    }
  }

  @Test
  void anAgentThatTheSystemStoppedIsNoPermitAndComesBackByItself() throws Exception {
    assumeTrue(AgentProcess.signalsWork(), "skipped: /bin/kill is not installed");
    try (AgentProcess agent = new AgentProcess(controller.port())) {
      Await.until("permit", times::permit);
      agent.signal("STOP");
      gone("stopped");
      agent.signal("CONT");
      Await.until("permit again", times::permit);
    }
  }

  @Test
  void anAgentOutOfMemoryEndsAndIsNoPermit() throws Exception {
    try (AgentProcess agent = new AgentProcess(controller.port())) {
      Await.until("permit", times::permit);
      agent.exhaust();
      gone("out of memory");
      assertThat(agent.awaitEnd()).as("it has ended by itself").isEqualTo(3);
    }
  }

  @Test
  void staleBeatsAreNoPermit() throws Exception {
    wrong("stale beats", (good, n) -> image(n % 2 == 0 ? 100 : 101, Images.BOOT));
  }

  @Test
  void oneBeatThatIsRepeatedIsNoPermit() throws Exception {
    wrong("repeated beat", (good, n) -> image(good, Images.BOOT));
  }

  @Test
  void beatsOfAnotherStartEachTimeAreNoPermit() throws Exception {
    wrong("other boot id", (good, n) -> image(good + n, Images.BOOT + n));
  }

  /** Good images up to the permit, then wrong ones, all of which say that it is permitted. */
  private void wrong(String what, RawBeats.Wrong image) throws Exception {
    try (RawBeats beats = new RawBeats(controller.port())) {
      Await.until("permit", times::permit);
      long since = System.nanoTime();
      beats.goWrong(image);
      Await.until("no permit", () -> !times.permit());
      Duration after = Duration.ofNanos(times.lostAt() - since);
      System.out.printf("%s: no permit %d ms after they began%n", what, after.toMillis());
      assertThat(after).isLessThan(CONTRACT.plusSeconds(2));
      long writes = controller.writes();
      int losses = times.losses();
      Await.until("six more images", () -> controller.writes() > writes + 6);
      assertThat(times.permit()).isFalse();
      assertThat(times.losses()).isEqualTo(losses);
      beats.goRight();
      Await.until("permit again", times::permit);
    }
  }

  private static int[] image(int beat, int boot) {
    int[] a = RegisterMap.blockA(beat, Images.permitted(), Answers.NONE);
    a[RawBeats.BOOT_ID] = boot;
    return a;
  }

  @Test
  void aCableThatSwallowsEverythingIsNoPermitAndALostLink() {
    lost("swallowing cable", () -> line.swallow(true), () -> line.swallow(false));
  }

  @Test
  void aCutCableIsNoPermitAndALostLink() {
    lost("cut cable", () -> line.cut(true), () -> line.cut(false));
  }

  @Test
  void aLoopThatHangsIsNoPermit() {
    ModbusClientOutput output = output(controller.port());
    try (LoopStandIn loop = beats(output)) {
      Await.until("permit", times::permit);
      loop.stall(true);
      gone("hanging loop");
      loop.stall(false);
      Await.until("permit again", times::permit);
    } finally {
      output.close();
    }
  }

  private void lost(String what, Runnable breaking, Runnable mending) {
    ModbusClientOutput output = output(line.port());
    try (LoopStandIn loop = beats(output)) {
      Await.until("permit", times::permit);
      Await.until("link", output::linkUp);
      breaking.run();
      gone(what);
      Await.until("the agent sees it", () -> !output.linkUp());
      assertThat(loop.beat()).isPositive();
      mending.run();
      Await.until("link back", output::linkUp);
      Await.until("permit again", times::permit);
      assertThat(inbox.links()).containsExactly(true, false, true);
    } finally {
      output.close();
    }
  }

  private void gone(String what) {
    Await.until("no permit", () -> !times.permit());
    Duration after = times.lastBeatToLoss();
    System.out.printf("%s: no permit %d ms after the last beat arrived%n", what, after.toMillis());
    assertThat(after).isLessThan(CONTRACT.plusSeconds(2));
  }

  private ModbusClientOutput output(int port) {
    Wires wires = new Wires(inbox, System::nanoTime, LinkMeter.NONE, number -> Optional.empty());
    ModbusClientOutput output =
        new ModbusClientOutput("cell-4", ModbusClientOutputTest.config(port), wires);
    output.start();
    return output;
  }

  private static LoopStandIn beats(ModbusClientOutput output) {
    return new LoopStandIn(output, Images.permitted(), Duration.ofMillis(250));
  }

  /** When the last image came, and when the permit went. */
  private static final class PermitTimes implements CellListener {
    private boolean permit;
    private long lastImage;
    private long lastImageBeforeLoss;
    private long lostAt;
    private int losses;

    @Override
    public synchronized void written(int[] blockA) {
      lastImage = System.nanoTime();
    }

    @Override
    public synchronized void changed(CellState state) {
      if (permit && !state.permit()) {
        lostAt = System.nanoTime();
        losses++;
        lastImageBeforeLoss = lastImage;
      }
      permit = state.permit();
    }

    synchronized boolean permit() {
      return permit;
    }

    synchronized int losses() {
      return losses;
    }

    synchronized long lostAt() {
      return lostAt;
    }

    synchronized Duration lastBeatToLoss() {
      return Duration.ofNanos(lostAt - lastImageBeforeLoss);
    }
  }
}
