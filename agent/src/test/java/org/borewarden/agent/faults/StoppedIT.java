package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Random;
import org.borewarden.agent.faults.FaultProxy.Fault;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * SIGTERM at random instants of the start and of the work, while the broker is a black hole. A stop
 * that was asked for is a clean one: the next start needs no person, and nothing is lost.
 */
class StoppedIT {
  private static final int STOPS = Cases.count(3, 1_000);
  private static final int STOPS_OF_A_JOURNAL = Cases.LONG ? 20 : 3;
  private static final int READINGS = 40;
  private static final int A_START_MILLIS = 2_000;

  /** Five seconds are the goal; a machine that does much else may take longer. */
  private static final Duration ENDS_WITHIN = Duration.ofSeconds(30);

  @TempDir Path scratch;

  private Random random = new Random();
  private int stops;
  private int amidStart;
  private int repeats;
  private Duration slowest = Duration.ZERO;

  @Test
  void wheneverItIsStoppedBeforeADeafBrokerItEndsSoonAndInOrder() throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("stopped: seed " + seed);
    random = new Random(seed);
    for (int journal = 0; stops < STOPS; journal++) {
      oneJournal("stopped-" + journal);
      System.err.printf(
          "stopped: %d stops (%d amid the start) before a deaf broker, the slowest %.2f s; %d"
              + " repeats%n",
          stops, amidStart, slowest.toMillis() / 1e3, repeats);
    }
    assertThat(amidStart).isPositive();
  }

  private void oneJournal(String name) throws Exception {
    long day = Plant.dayWithoutHold(random.nextLong(), READINGS);
    try (Plant plant = new Plant(scratch.resolve(name), name, day, READINGS)) {
      for (int stop = 0; stop < STOPS_OF_A_JOURNAL && stops < STOPS; stop++) {
        // The first is amid the work and the second amid the start, then what chance says.
        if (stop == 1 || (stop > 1 && random.nextInt(3) == 0)) {
          amidStart++;
          plant.network().strike(Fault.HALF_OPEN);
          plant.agent().start();
          Waits.pass(1000L * random.nextInt(A_START_MILLIS));
        } else {
          plant.network().strike(Fault.NONE);
          plant.start();
          plant.network().strike(Fault.HALF_OPEN);
          plant.send(1 + random.nextInt(READINGS / STOPS_OF_A_JOURNAL));
          Waits.pass(1000L * random.nextInt(300));
        }
        stop(plant);
      }
      plant.network().strike(Fault.NONE);
      plant.start();
      repeats += plant.requireTheStory();
      assertThat(starts(plant)).as("none of them after an unclean end").allMatch(StoppedIT::clean);
      int clean = starts(plant).size();
      // The control: whoever is killed has not ended in order, and this test would see it.
      plant.agent().kill();
      plant.agent().start();
      Waits.untilJournal("another start", () -> starts(plant).size() > clean);
      assertThat(starts(plant)).last().matches(start -> !clean(start));
    }
  }

  private void stop(Plant plant) throws Exception {
    long asked = System.nanoTime();
    plant.agent().stop();
    Duration took = Duration.ofNanos(System.nanoTime() - asked);
    slowest = took.compareTo(slowest) > 0 ? took : slowest;
    stops++;
    assertThat(took).as("stop %s", stops).isLessThan(ENDS_WITHIN);
    plant.sendAgainWhatWasNotTaken();
    if (Files.exists(plant.agent().data().resolve("journal/journal.db"))) {
      assertThat(Verify.dataFolder(plant.agent().data()).whole()).isTrue();
    }
  }

  private static List<Entry> starts(Plant plant) throws Exception {
    return Journals.all(plant.agent().data()).stream()
        .filter(entry -> entry.kind().equals("agent-started"))
        .toList();
  }

  private static boolean clean(Entry start) {
    return Story.tree(start.body()).path("clean").asBoolean();
  }
}
