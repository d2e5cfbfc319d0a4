package org.borewarden.agent.proof;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.time.Duration;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.demo.controller.CellListener;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.machine.GaugePort;

/**
 * One cell of an agent that is killed: its controller, its gauge, and what was told of its hold.
 */
final class KilledCell implements AutoCloseable {
  private static final int BEAT = 1;
  private static final int PERMIT_WORD = 2;
  private static final int BOOT_WORD = 4;
  private static final int PERMITTED = 1;
  private static final int LATCHED = 4;

  final String id;
  final Controller controller;
  final GaugePort gauge;
  private final AtomicInteger boot = new AtomicInteger();
  private final AtomicInteger oldBoot = new AtomicInteger();
  private final AtomicInteger permits = new AtomicInteger();
  // Written on the broker client's thread.
  private volatile Optional<JsonNode> told = Optional.empty();

  KilledCell(int number) throws Exception {
    this.id = "cell-" + number;
    this.controller = Controller.start(Controller.Settings.loopback(Duration.ofMillis(300)));
    this.gauge = GaugePort.open(0);
    controller.listen(new Image());
  }

  /** Counts permits of any boot but the one that was killed. Called on the connection's thread. */
  private final class Image implements CellListener {
    @Override
    public void written(int[] blockA) {
      boot.set(blockA[BOOT_WORD]);
      boolean permit = (blockA[PERMIT_WORD] & PERMITTED) != 0;
      if (permit && blockA[BOOT_WORD] != oldBoot.get()) {
        permits.incrementAndGet();
      }
    }
  }

  /** A message on its hold topic; only what is synced counts. */
  void hear(JsonNode message) {
    if (message.hasNonNull("seq")) {
      told = Optional.of(message);
    }
  }

  /** The agent is dead: what the kernel still has of it is let in, and is of the old boot. */
  void killed() {
    gauge.dropClients(); // those of the dead agent; the next one to come in is alive
    oldBoot.set(boot.get());
    permits.set(0);
  }

  /** Whether the run after the kill has shown it anything. */
  boolean seesNewRun() {
    return boot.get() != oldBoot.get();
  }

  /** Whether the new run has proved all its evidence and told of its unclean stop. */
  boolean heldAfterStart() {
    return seesNewRun()
        && told.filter(hold -> hold.path("boot").asInt() == boot.get()).isPresent()
        && causes().contains("unclean-stop")
        && told.orElseThrow().path("conditions").isEmpty();
  }

  Set<String> causes() {
    Set<String> causes = new TreeSet<>();
    told.ifPresent(hold -> hold.path("causes").forEach(c -> causes.add(c.path("cause").asText())));
    return causes;
  }

  String state() {
    return told.map(hold -> hold.path("state").asText()).orElse("untold");
  }

  int number() {
    return told.map(hold -> hold.path("hold").asInt()).orElse(0);
  }

  boolean conditionStands() {
    return told.filter(hold -> !hold.path("conditions").isEmpty()).isPresent();
  }

  Optional<JsonNode> told() {
    return told;
  }

  /** Permits that this run has shown to the controller. */
  int permits() {
    return permits.get();
  }

  int beat() {
    return controller.blockA()[BEAT];
  }

  /** Whether the controller's registers show a latched hold and no permit. */
  boolean showsAHold() {
    return (controller.blockA()[PERMIT_WORD] & (PERMITTED | LATCHED)) == LATCHED;
  }

  /** A gauge sends to whom its port has let in, which may be later than that one is connected. */
  void bore(String value) throws InterruptedException {
    KilledAgent.await("the agent at the gauge of " + id, () -> gauge.clients() > 0);
    gauge.send(value + " mm");
  }

  @Override
  public void close() throws IOException {
    gauge.close();
    controller.close();
  }
}
