package org.borewarden.agent.proof;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.TimeUnit;

/**
 * One round of kills: each cell into a state of its own, the agent killed, killed again while it
 * starts, the broker killed with it or beside it; then every cell is held, and released.
 */
final class HeldCells {
  /** Bypasses a shift and cell (docs/hold.md). */
  private static final int BYPASSES = 3;

  private static final int BEATS = 3;

  private final KilledAgent agent;
  private final Random random;
  private final Tally tally;
  private final Map<KilledCell, Integer> bypasses = new HashMap<>();
  private final Map<KilledCell, Before> before = new HashMap<>();
  private int round;

  /** What is under way at a cell when the agent is killed. */
  private enum Deed {
    REQUESTED,
    HEARD,
    TRIAL,
    RELEASE,
    BYPASS,
    GAUGE_LOST,
    LINK_LOST,
    PERMITTED
  }

  /** What was told of a cell, synced, before the first kill of the round. */
  private record Before(Deed deed, int number, Set<String> causes) {
    /** Whether it must be held afterwards by what it was held by before. */
    boolean held() {
      return number > 0 && deed != Deed.RELEASE;
    }

    /** What ends a trial or a bypass is a new hold: the cell must hear it anew. */
    boolean permitted() {
      return deed == Deed.TRIAL || deed == Deed.BYPASS;
    }
  }

  HeldCells(KilledAgent agent, Random random, Tally tally) {
    this.agent = agent;
    this.random = random;
    this.tally = tally;
  }

  void round() throws Exception {
    Map<KilledCell, Deed> deeds = deeds();
    bring(deeds);
    boolean brokerToo = round % 2 == 0;
    kill(deeds, brokerToo);
    killWhileItStarts();
    agent.start();
    if (brokerToo) {
      agent.startBroker();
    }
    agent.awaitEach("a hold with unclean-stop and no condition", KilledCell::heldAfterStart);
    check();
    if (!brokerToo) {
      killTheBrokerBeside();
    }
    agent.releaseAll();
    round++;
  }

  private Map<KilledCell, Deed> deeds() {
    Map<KilledCell, Deed> deeds = new HashMap<>();
    int next = random.nextInt(Deed.values().length);
    for (KilledCell cell : agent.cells()) {
      Deed deed = Deed.values()[next++ % Deed.values().length];
      boolean spent = deed == Deed.BYPASS && bypasses.merge(cell, 1, Integer::sum) > BYPASSES;
      deeds.put(cell, spent ? Deed.HEARD : deed);
    }
    return deeds;
  }

  private void bring(Map<KilledCell, Deed> deeds) throws Exception {
    List<KilledCell> early =
        having(
            deeds,
            Deed.HEARD,
            Deed.TRIAL,
            Deed.RELEASE,
            Deed.BYPASS,
            Deed.GAUGE_LOST,
            Deed.LINK_LOST);
    for (KilledCell cell : early) {
      cell.bore("62.044");
    }
    KilledAgent.awaitEach("a synced hold", early, cell -> !cell.causes().isEmpty());
    having(deeds, Deed.LINK_LOST).forEach(cell -> cell.controller.freeze(true));
    agent.askUntil(
        "release", Optional.of(3), having(deeds, Deed.TRIAL), cell -> cell.state().equals("trial"));
    agent.askUntil(
        "bypass",
        Optional.of(5),
        having(deeds, Deed.BYPASS),
        cell -> cell.state().equals("bypassed"));
    KilledAgent.awaitEach("heard", having(deeds, Deed.HEARD), cell -> cell.state().equals("heard"));
    KilledAgent.awaitEach(
        "a lost link", having(deeds, Deed.LINK_LOST), KilledCell::conditionStands);
    List<KilledCell> late = having(deeds, Deed.REQUESTED);
    for (KilledCell cell : late) {
      cell.bore(random.nextBoolean() ? "62.044" : "61.990");
    }
    KilledAgent.awaitEach("a synced hold", late, cell -> !cell.causes().isEmpty());
    having(deeds, Deed.GAUGE_LOST).forEach(cell -> cell.gauge.dropClients());
    for (KilledCell cell : having(deeds, Deed.RELEASE)) {
      agent.ask(cell, "release", Optional.empty());
    }
  }

  private static List<KilledCell> having(Map<KilledCell, Deed> deeds, Deed... some) {
    return deeds.keySet().stream().filter(cell -> List.of(some).contains(deeds.get(cell))).toList();
  }

  private void kill(Map<KilledCell, Deed> deeds, boolean brokerToo) throws Exception {
    long at = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(random.nextInt(120));
    KilledAgent.await("the instant", () -> System.nanoTime() >= at);
    if (brokerToo) {
      agent.killBroker();
      tally.brokerKilled();
    }
    agent.kill();
    tally.agentKilled();
    before.clear();
    for (KilledCell cell : agent.cells()) {
      Before was = new Before(of(deeds, cell), cell.number(), cell.causes());
      before.put(cell, was);
      if (was.held()) {
        tally.heldThroughKill(cell.state() + (cell.conditionStands() ? "+condition" : ""));
      } else {
        tally.heldThoughFreeBefore();
      }
      cell.controller.freeze(false);
    }
  }

  private static <T> T of(Map<KilledCell, T> each, KilledCell cell) {
    return Objects.requireNonNull(each.get(cell));
  }

  private void killWhileItStarts() throws Exception {
    agent.start();
    agent.awaitEach("an image of the new run", KilledCell::seesNewRun);
    agent.cells().forEach(HeldCells::noPermit);
    agent.kill();
    tally.agentKilled();
    before.values().stream().filter(Before::held).forEach(was -> tally.heldThroughKill("starting"));
  }

  private void check() {
    for (KilledCell cell : agent.cells()) {
      noPermit(cell);
      Before was = of(before, cell);
      if (was.held()) {
        assertThat(cell.causes()).as("%s after %s", cell.id, was).containsAll(was.causes());
        if (was.permitted()) {
          assertThat(cell.number()).as("%s after %s", cell.id, was).isGreaterThan(was.number());
        } else {
          assertThat(cell.number()).as("%s after %s", cell.id, was).isEqualTo(was.number());
        }
      }
    }
  }

  private static void noPermit(KilledCell cell) {
    assertThat(cell.permits()).as("permits of %s before a release", cell.id).isZero();
  }

  /** The broker is nothing to a cell that has registers. */
  private void killTheBrokerBeside() throws Exception {
    Map<KilledCell, Integer> beats = new HashMap<>();
    Map<KilledCell, Integer> numbers = new HashMap<>();
    agent.killBroker();
    tally.brokerKilled();
    for (KilledCell cell : agent.cells()) {
      beats.put(cell, cell.beat());
      numbers.put(cell, cell.number());
    }
    agent.awaitEach("more beats", cell -> cell.beat() >= beats.getOrDefault(cell, 0) + BEATS);
    agent.startBroker();
    for (KilledCell cell : agent.cells()) {
      noPermit(cell);
      assertThat(cell.showsAHold()).as("%s without a broker", cell.id).isTrue();
      assertThat(cell.number()).as(cell.id).isEqualTo(numbers.get(cell));
      tally.heldThroughBroker();
    }
  }
}
