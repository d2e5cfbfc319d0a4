package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.stream.LongStream;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.machine.GaugePort;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Stops the agent's process, its broker's, or both, for 0.1 s to 30 s (SIGSTOP, as a busy or a
 * suspended host would), while readings come. The cell has lost its permit before a stopped agent
 * goes on; a stopped broker takes none; and the story is that of an undisturbed run.
 */
@SuppressWarnings("try") // Who waits for the end of a process may be interrupted.
class PausedIT {
  private static final boolean LONG = Boolean.getBoolean("borewarden.long");
  private static final Duration TIME =
      Duration.ofSeconds(Integer.getInteger("borewarden.seconds", LONG ? 600 : 0));
  private static final int LEAST_PAUSES = 3;
  private static final int READINGS = 60;
  private static final int MOST_TENTHS = LONG ? 300 : 5;
  private static final int PERMIT_WORD = 2;
  private static final int PERMITTED = 1;

  /** A pause of the agent from here on must have been seen by the cell, whose time-out is 1 s. */
  private static final int SEEN_FROM_TENTHS = 20;

  @TempDir Path scratch;

  private Random random = new Random();
  private int pauses;
  private int seen;
  private long slowestNanos;
  private int brokerPauses;
  private int repeats;

  @Test
  void whoeverIsStoppedTheCellSeesAStoppedAgentAndTheStoryIsThatOfAnUndisturbedRun()
      throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("paused: seed " + seed);
    random = new Random(seed);
    long end = System.nanoTime() + TIME.toNanos();
    for (int journal = 0; pauses < LEAST_PAUSES || System.nanoTime() < end; journal++) {
      oneJournal("paused-" + journal, end);
    }
    System.err.printf(
        "paused: %d pauses (%d of the broker), %d of the agent seen by the cell, the latest %d ms"
            + " after the signal; %d repeats%n",
        pauses, brokerPauses, seen, TimeUnit.NANOSECONDS.toMillis(slowestNanos), repeats);
    assertThat(seen).isPositive();
    assertThat(brokerPauses).isPositive();
  }

  private void oneJournal(String name, long end) throws Exception {
    long day = dayWithoutHold(random.nextLong());
    try (Plant plant = new Plant(scratch.resolve(name), name, day)) {
      int pause = 0;
      while (plant.sent < READINGS && (pause < LEAST_PAUSES || System.nanoTime() < end)) {
        plant.send(1 + random.nextInt(4));
        // The first of each kind for sure, then what chance says.
        int who = pause < 2 ? pause : random.nextInt(3);
        int tenths = pause == 0 ? SEEN_FROM_TENTHS : 1 + random.nextInt(MOST_TENTHS);
        pause(plant, who != 1, who != 0, tenths);
        pause++;
      }
      repeats += plant.requireTheStory();
    }
  }

  private void pause(Plant plant, boolean agentToo, boolean brokerToo, int tenths)
      throws Exception {
    pauses++;
    brokerPauses += brokerToo ? 1 : 0;
    if (brokerToo) {
      plant.broker.freeze();
    }
    long begun = System.nanoTime();
    if (agentToo) {
      plant.signal("STOP");
    }
    plant.send(random.nextInt(3));
    if (agentToo && tenths >= SEEN_FROM_TENTHS) {
      Waits.until("the cell without permit", () -> !plant.cell.state().permit());
      slowestNanos = Math.max(slowestNanos, System.nanoTime() - begun);
      seen++;
      // The control: who reads the register without its beat would still see the old permit.
      assertThat(plant.cell.blockA()[PERMIT_WORD] & PERMITTED).isEqualTo(PERMITTED);
    }
    long left = begun + TimeUnit.MILLISECONDS.toNanos(100L * tenths) - System.nanoTime();
    Waits.pass(TimeUnit.NANOSECONDS.toMicros(left));
    if (agentToo && tenths >= SEEN_FROM_TENTHS) {
      assertThat(plant.cell.state().permit()).as("a permit from a stopped agent").isFalse();
    } else if (!agentToo) {
      assertThat(plant.cell.state().permit()).as("the permit while the broker stands").isTrue();
    }
    if (agentToo) {
      plant.signal("CONT");
    }
    if (brokerToo) {
      plant.broker.thaw();
    }
    plant.awaitPermit();
  }

  /** A day on which nothing latches, so that only the pauses can take the permit. */
  private static long dayWithoutHold(long from) {
    return LongStream.iterate(from, day -> day + 1)
        .filter(day -> Shop.golden(day, READINGS).stream().noneMatch(l -> l.startsWith("hold")))
        .findFirst()
        .orElseThrow();
  }

  /** One agent with its gauge, its broker, its consumer and its cell. */
  @SuppressWarnings("try") // Who waits for the end of a process may be interrupted.
  private static final class Plant implements AutoCloseable {
    private final TestBroker broker =
        TestBroker.mosquitto("allow_anonymous true", "max_queued_messages 0");
    private final TestSubscriber subscriber;
    private final GaugePort gauge = GaugePort.open(0);
    private final Controller cell =
        Controller.start(Controller.Settings.loopback(Duration.ofMillis(300)));
    private final AgentRun agent;
    private final long day;
    private int sent;

    Plant(Path folder, String root, long day) throws Exception {
      this.day = day;
      subscriber = TestSubscriber.on(broker.port(), root + "/#");
      agent = new AgentRun(folder);
      AgentRun.file(folder, "rules.yaml", Shop.RULES_YAML);
      AgentRun.file(
          folder,
          "agent.yaml",
          """
          agent: northworks-cell-4
          root: %s
          rules: rules.yaml
          data: data
          broker: {url: "mqtt://127.0.0.1:%d", version: 5}
          gauges:
            - {id: bore-1, tcp: "127.0.0.1:%d", unit: mm}
          cells:
            - id: cell-4
              modbus: {host: 127.0.0.1, port: %d, base: 100, cell-base: 200}
              mqtt: informs
          http: {port: 0}
          commands: {trust: broker}
          """
              .formatted(root, broker.port(), gauge.port(), cell.port()));
      agent.start();
      Waits.until("the agent at its gauge", () -> gauge.clients() > 0);
      gauge.sendBytes("\r\n".getBytes(StandardCharsets.US_ASCII));
      awaitPermit();
    }

    void awaitPermit() throws Exception {
      Waits.until("a permit", () -> cell.state().permit());
    }

    void send(int most) {
      for (int i = 0; i < most && sent < READINGS; i++) {
        gauge.send(Shop.value(day, sent++) + " mm");
      }
    }

    void signal(String name) throws IOException, InterruptedException {
      Process kill = new ProcessBuilder("kill", "-" + name, Long.toString(agent.pid())).start();
      assertThat(kill.waitFor()).isZero();
    }

    /** All is judged as an undisturbed engine judges, and all has arrived; the repeats. */
    int requireTheStory() throws Exception {
      send(READINGS);
      Waits.until("all readings", () -> readings() == READINGS);
      Waits.until("an empty outbox", () -> Verify.dataFolder(agent.data()).outbox() == 0);
      List<Entry> entries = Journals.all(agent.data());
      Story.requireSame(Shop.golden(day, READINGS), Story.of(entries));
      long published = entries.stream().filter(e -> e.topic().isPresent()).count();
      Waits.most(Duration.ofSeconds(20), () -> consumer().distinct() >= published);
      try (JournalReader reader = JournalReader.open(agent.data())) {
        Consumer consumer = consumer();
        consumer.requireAll(
            Journals.all(agent.data()), new Envelope("northworks-cell-4", reader.journalId()));
        return consumer.repeats();
      }
    }

    private int readings() throws Exception {
      return Journals.count(Journals.all(agent.data()), "reading-taken");
    }

    private Consumer consumer() {
      Consumer consumer = new Consumer();
      subscriber.heard().forEach(heard -> consumer.take(heard.topic(), heard.text()));
      return consumer;
    }

    @Override
    public void close() throws Exception {
      agent.close();
      gauge.close();
      cell.close();
      subscriber.close();
      broker.close();
    }
  }
}
