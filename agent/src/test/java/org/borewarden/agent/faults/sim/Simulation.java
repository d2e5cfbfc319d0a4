package org.borewarden.agent.faults.sim;

import com.fasterxml.jackson.databind.JsonNode;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.borewarden.agent.faults.Shop;
import org.borewarden.agent.faults.Story;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.publish.Envelope;

/**
 * One run: a seed says what happens when, and at the end, when all faults are over and all is
 * drained, every promise is looked at. The same seed gives the same run, always.
 */
final class Simulation {
  private static final int DRAIN_STEPS = 200_000;

  private final Random random;
  private final Tamper tamper;
  private final long day;
  private final int values;
  private final boolean people;
  private final SimClock clock = new SimClock();
  private final SimDisk disk;
  private final SimBroker broker;
  private final Envelope envelope;
  private final Tally tally;
  private SimLife life;
  private SimGauge gauge;
  private int boot;
  private int commands;

  /** What many runs had in them, so that one sees that the faults bit. */
  static final class Tally {
    int runs;
    long events;
    int crashes;
    int crashesAmidFaults;
    int failedSyncs;
    int lostConnections;
    int repeats;
    int setAside;

    /** Rows that only chance, three lost connections in a row, has made look like poison. */
    int innocentAside;

    int pulledPlugs;
    int clockSteps;
    int releases;

    @Override
    public String toString() {
      return String.format(
          "%d runs, %d journal entries, %d crashes (%d amid another fault or a start), %d failed syncs, %d lost connections, %d"
              + " repeats, %d rows aside (%d by chance), %d pulled plugs, %d clock steps, %d releases asked",
          runs,
          events,
          crashes,
          crashesAmidFaults,
          failedSyncs,
          lostConnections,
          repeats,
          setAside,
          innocentAside,
          pulledPlugs,
          clockSteps,
          releases);
    }
  }

  Simulation(long seed, Tamper tamper, Tally tally) throws Exception {
    this.random = new Random(seed);
    this.tamper = tamper;
    this.tally = tally;
    this.day = random.nextLong();
    this.values = 20 + random.nextInt(60);
    this.people = random.nextBoolean();
    this.disk = new SimDisk(random, tamper);
    this.broker = new SimBroker(random, tamper);
    this.envelope = new Envelope("cell-4", disk.journalId());
    this.life = new SimLife(tamper, disk, broker, clock, ++boot);
    this.gauge = new SimGauge(random, day, life.inbox(), 0, values);
  }

  /**
   * Runs to the end.
   *
   * @return a mark of all that was stored and heard, the same for the same seed
   * @throws Violation when a promise is broken
   */
  int run() throws Exception {
    int faultsUntil = 150 + random.nextInt(900);
    for (int step = 0; step < faultsUntil; step++) {
      clock.pass(random.nextInt(30));
      happen();
      look();
    }
    drain();
    check();
    tally.runs++;
    tally.events += disk.stored().size();
    tally.repeats += broker.repeats();
    tally.setAside += disk.aside().size();
    return mark();
  }

  private void happen() throws Exception {
    int what = random.nextInt(100);
    if (what < 34) {
      work();
    } else if (what < 58) {
      life.turn();
    } else if (what < 70) {
      sync(true);
    } else if (what < 92) {
      broker.step();
      life.publish();
    } else if (what < 94) {
      disk.mend();
    } else {
      fault();
    }
  }

  /** The gauge measures, as far as its line and the inbox let it. */
  private void work() {
    boolean room = life.inbox().waiting() < 20;
    if (gauge.connected() && room && !gauge.isDone()) {
      gauge.emit(true, tamper == Tamper.DROPS_WHEN_FULL && !disk.hasRoom());
    }
  }

  private void sync(boolean mayFail) {
    boolean before = disk.failing();
    disk.sync(mayFail);
    tally.failedSyncs += disk.failing() && !before ? 1 : 0;
  }

  private void fault() throws Exception {
    switch (random.nextInt(8)) {
      case 0 -> crash();
      case 1, 2 -> {
        broker.drop();
        tally.lostConnections++;
      }
      case 3 -> plug();
      case 4 -> {
        clock.step((random.nextInt(3) - 1) * (1 + (long) random.nextInt(100_000_000)));
        tally.clockSteps++;
      }
      case 5 -> clock.pass(500 + random.nextInt(4000));
      default -> {
        if (people) {
          life.askForRelease(++commands);
          tally.releases++;
        }
      }
    }
  }

  private void plug() throws Exception {
    if (gauge.connected()) {
      gauge.drop();
      tally.pulledPlugs++;
    } else if (life.begun()) {
      gauge.connect();
    }
  }

  /** The port is opened when the start is in the journal, as in the agent. */
  private void look() throws Exception {
    if (!gauge.connected() && life.begun() && random.nextInt(6) == 0) {
      gauge.connect();
    }
    Set<String> causes = new HashSet<>();
    life.hold().ifPresent(hold -> hold.causes().forEach(c -> causes.add(c.key())));
    if (owed.isPresent() && life.begun()) {
      if (!causes.containsAll(owed.get())) {
        throw new Violation("after a crash " + causes + ", owed " + owed.get());
      }
      owed = Optional.empty();
    }
  }

  private Optional<Set<String>> owed = Optional.empty();

  private void crash() throws Exception {
    tally.crashes++;
    boolean amid = disk.failing() || !life.begun() || !broker.connected();
    tally.crashesAmidFaults += amid ? 1 : 0;
    disk.crash();
    SimLife.requireStored(life.told(), disk.stored());
    owed = owedAfterCrash();
    life = new SimLife(tamper, disk, broker, clock, ++boot);
    int taken = 0;
    for (Entry entry : disk.stored()) {
      taken += entry.kind().equals("reading-taken") ? 1 : 0;
    }
    gauge = new SimGauge(random, day, life.inbox(), Math.min(taken, values), values);
  }

  /** The causes that the stored records say are latched, and the unclean stop itself. */
  private Optional<Set<String>> owedAfterCrash() {
    Optional<JsonNode> last = Optional.empty();
    for (Entry entry : disk.stored()) {
      if (entry.kind().equals("hold-changed")) {
        last = Optional.of(Story.tree(entry.body()));
      }
    }
    if (last.isEmpty()) {
      return Optional.empty();
    }
    Set<String> causes = new TreeSet<>(Set.of("unclean-stop"));
    if (!last.get().path("state").asText().equals("releasing")) {
      last.get().path("causes").forEach(cause -> causes.add(cause.path("cause").asText()));
    }
    return Optional.of(causes);
  }

  /** No more faults: everything that is due happens. */
  private void drain() throws Exception {
    for (int step = 0; step < DRAIN_STEPS; step++) {
      clock.pass(5);
      if (!gauge.connected() && life.begun()) {
        gauge.connect();
      }
      if (gauge.connected() && life.inbox().waiting() < 20 && !gauge.isDone()) {
        gauge.emit(false, tamper == Tamper.DROPS_WHEN_FULL && !disk.hasRoom());
      }
      life.turn();
      disk.mend();
      disk.sync(false);
      broker.step();
      life.publish();
      boolean done = gauge.isDone() && life.isIdle() && disk.isIdle() && broker.isIdle();
      if (done && disk.waiting() == 0) {
        return;
      }
    }
    throw new Violation("it does not come to rest: " + disk.waiting() + " rows wait");
  }

  private void check() {
    List<Entry> stored = disk.stored();
    for (int at = 0; at < stored.size(); at++) {
      if (stored.get(at).seq() != at + 1) {
        throw new Violation("entry " + (at + 1) + " has seq " + stored.get(at).seq());
      }
    }
    SimLife.requireStored(life.told(), stored);
    checkDelivery(stored);
    checkStory(stored);
  }

  /** Each row to publish was heard as it is stored, or lies aside for a reason of the broker's. */
  private void checkDelivery(List<Entry> stored) {
    TreeMap<Long, String> heard = new TreeMap<>(broker.heard());
    for (Entry entry : stored) {
      if (entry.topic().isEmpty()) {
        continue;
      }
      Optional<String> found = Optional.ofNullable(heard.remove(entry.seq()));
      boolean refused = disk.aside().containsKey(entry.seq());
      if (refused && !broker.mayRefuse(entry.seq(), entry.topic().get())) {
        throw new Violation("seq " + entry.seq() + " is aside, and the broker would take it");
      }
      if (refused && broker.isInnocent(entry.seq(), entry.topic().get())) {
        tally.innocentAside++;
      }
      if (found.isEmpty() && !refused) {
        throw new Violation("seq " + entry.seq() + " never arrived");
      }
      if (found.isPresent() && !found.equals(envelope.around(entry))) {
        throw new Violation("seq " + entry.seq() + " arrived as " + found.get());
      }
    }
    if (!heard.isEmpty()) {
      throw new Violation("heard and not stored: " + heard.keySet());
    }
  }

  /**
   * The judgements and findings are those of an uninterrupted run; without people the holds too.
   */
  private void checkStory(List<Entry> stored) {
    List<String> found = Story.of(stored);
    List<String> golden = Shop.golden(day, values);
    if (people) {
      found = found.stream().filter(Simulation::isOfParts).toList();
      golden = golden.stream().filter(Simulation::isOfParts).toList();
    }
    Story.firstDifference(golden, found)
        .ifPresent(
            what -> {
              throw new Violation(what);
            });
  }

  /** What people do changes alerts and holds, and nothing else. */
  private static boolean isOfParts(String line) {
    return line.startsWith("judged ") || line.startsWith("found ");
  }

  private int mark() {
    int mark = 17;
    for (Entry entry : disk.stored()) {
      mark = mark * 31 + entry.hashCode();
    }
    return mark * 31 + broker.heard().hashCode();
  }
}
