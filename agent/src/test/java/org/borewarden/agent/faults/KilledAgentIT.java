package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.Statement;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.demo.machine.GaugePort;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Kills the whole agent, with its port, its broker and its files, at random instants of its start
 * and of its work, and compares what journal and consumer have with an uninterrupted run of the
 * same program on the same values.
 */
class KilledAgentIT {
  private static final boolean LONG = Boolean.getBoolean("borewarden.long");

  /** From here on it would be no chance if no kill hit between publish and note. */
  private static final int MANY_KILLS = 50;

  private static final Duration TIME =
      Duration.ofSeconds(Integer.getInteger("borewarden.seconds", LONG ? 900 : 10));
  private static final int LEAST_KILLS = 3;
  private static final int KILLS_OF_A_JOURNAL = 40;

  @TempDir Path scratch;

  private int kills;
  private int killedInStart;
  private int readings;
  private int records;
  private int repeats;

  @Test
  void whateverInstantItIsKilledAtJournalAndConsumerHaveTheStoryOfAnUninterruptedRun()
      throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("killed agent: seed " + seed);
    Random random = new Random(seed);
    long end = System.nanoTime() + TIME.toNanos();
    try (TestBroker broker =
        TestBroker.mosquitto("allow_anonymous true", "max_queued_messages 0")) {
      for (int journal = 0; System.nanoTime() < end || kills < LEAST_KILLS; journal++) {
        oneJournal(broker, random, journal, end);
      }
    }
    System.err.printf(
        "killed agent: %d kills (%d while starting), %d readings, %d records heard, %d of them"
            + " again%n",
        kills, killedInStart, readings, records, repeats);
    if (kills >= MANY_KILLS) {
      assertThat(repeats).as("kills that hit between publish and note").isPositive();
    }
  }

  private void oneJournal(TestBroker broker, Random random, int journal, long end)
      throws Exception {
    long day = random.nextLong();
    int count;
    try (Plant killed =
        new Plant(broker, scratch.resolve("killed-" + journal), "k" + journal, day)) {
      long startNanos = TimeUnit.SECONDS.toNanos(2);
      int here = 0;
      while (here < KILLS_OF_A_JOURNAL && (System.nanoTime() < end || kills < LEAST_KILLS)) {
        long begun = System.nanoTime();
        killed.agent.start();
        if (here > 0 && random.nextInt(4) == 0) {
          Waits.pass(TimeUnit.NANOSECONDS.toMicros((long) (startNanos * random.nextDouble())));
          killedInStart++;
        } else {
          killed.awaitConnected();
          startNanos = System.nanoTime() - begun;
          killed.send(1 + random.nextInt(200));
          Waits.pass(random.nextInt(150_000));
        }
        killed.kill();
        kills++;
        here++;
      }
      count = killed.readings() + 20;
      killed.runToTheEnd(count);
      Consumer consumer = killed.requireConsumerHasAll();
      readings += count;
      records += consumer.raw();
      repeats += consumer.repeats();
      try (Plant quiet =
          new Plant(broker, scratch.resolve("quiet-" + journal), "q" + journal, day)) {
        quiet.runToTheEnd(count);
        List<String> uninterrupted = Story.of(quiet.entries());
        Story.requireSame(uninterrupted, Story.of(killed.entries()));
        // And both are what the engine alone says.
        Story.requireSame(Shop.golden(day, count), uninterrupted);
      }
      assertThat(Verify.dataFolder(killed.agent.data()).whole()).isTrue();
    }
  }

  /** A disk that loses what it had synced: then a seq is given twice, and the consumer sees it. */
  @Test
  void aJournalThatLosesItsEndIsFoundOut() throws Exception {
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true", "max_queued_messages 0");
        Plant plant = new Plant(broker, scratch.resolve("loses"), "loses", 7)) {
      plant.agent.start();
      plant.awaitConnected();
      plant.send(30);
      Waits.until("all in the journal", () -> plant.readings() == 30);
      Waits.until("all at the consumer", () -> plant.consumer().distinct() >= 60);
      plant.kill();
      plant.cutTheEndOff(20);
      plant.runToTheEnd(40);
      assertThatThrownBy(plant::requireConsumerHasAll)
          .isInstanceOf(AssertionError.class)
          .hasMessageContaining("the same record again");
    }
  }

  /** One agent with its gauge and its consumer. */
  private static final class Plant implements AutoCloseable {
    private final AgentRun agent;
    private final GaugePort gauge;
    private final TestSubscriber subscriber;
    private final long day;
    private int sent;
    private long drained;

    Plant(TestBroker broker, Path folder, String root, long day) throws Exception {
      this.day = day;
      gauge = GaugePort.open(0);
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
          broker: {url: "mqtt://127.0.0.1:%d", version: 5, client-id: agent-%s}
          gauges:
            - {id: bore-1, tcp: "127.0.0.1:%d", unit: mm}
          cells:
            - {id: cell-4, mqtt: only-path}
          http: {port: 0}
          commands: {trust: broker}
          """
              .formatted(root, broker.port(), root, gauge.port()));
    }

    void awaitConnected() throws Exception {
      Waits.until("the agent at its gauge", () -> gauge.clients() > 0);
      // Ends what the start of the line may have garbled.
      gauge.sendBytes("\r\n".getBytes(StandardCharsets.US_ASCII));
    }

    void send(int count) {
      for (int i = 0; i < count; i++) {
        gauge.send(Shop.value(day, sent++) + " mm");
      }
    }

    /** Killed; the gauge goes on behind what the journal has. */
    void kill() throws Exception {
      agent.kill();
      gauge.dropClients();
      sent = readings();
    }

    int readings() throws Exception {
      return Files.exists(agent.data().resolve("journal/journal.db"))
          ? Journals.count(entries(), "reading-taken")
          : 0;
    }

    List<Entry> entries() throws Exception {
      return Journals.all(agent.data());
    }

    /** Starts it, lets it take the rest of the values and publish all, and stops it in order. */
    void runToTheEnd(int count) throws Exception {
      agent.start();
      awaitConnected();
      send(count - sent);
      Waits.until("all readings", () -> readings() == count);
      Waits.until("an empty outbox", () -> Verify.dataFolder(agent.data()).outbox() == 0);
      drained = entries().size();
      agent.stop();
      // An orderly stop brings up no alert: nobody would be there to publish it.
      assertThat(entries())
          .filteredOn(e -> e.seq() > drained && e.topic().isPresent())
          .extracting(Entry::kind, Entry::body)
          .isEmpty();
    }

    Consumer consumer() {
      Consumer consumer = new Consumer();
      subscriber.heard().forEach(heard -> consumer.take(heard.topic(), heard.text()));
      return consumer;
    }

    Consumer requireConsumerHasAll() throws Exception {
      List<Entry> entries = entries();
      long published = entries.stream().filter(e -> e.topic().isPresent()).count();
      // Whoever lacks some by then is told which.
      Waits.most(Duration.ofSeconds(20), () -> consumer().distinct() >= published);
      try (JournalReader reader = JournalReader.open(agent.data())) {
        Consumer consumer = consumer();
        consumer.requireAll(entries, new Envelope("northworks-cell-4", reader.journalId()));
        return consumer;
      }
    }

    /** As if the disk had lost its latest writes; the file is whole all the same. */
    void cutTheEndOff(int entries) throws Exception {
      // Opened and closed once, so that all of the log is in the file.
      JournalStore.open(
              agent.data(), JournalConfig.DEFAULT, "0.1.0", Instant::now, System::nanoTime)
          .close();
      String file = agent.data().resolve("journal/journal.db").toString();
      try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
          Statement statement = connection.createStatement()) {
        long cut = entries().size() - (long) entries;
        for (String table : List.of("outbox", "aside", "snapshot", "journal")) {
          statement.executeUpdate("DELETE FROM " + table + " WHERE seq > " + cut);
        }
        statement.executeUpdate(
            "UPDATE topic SET last ="
                + " (SELECT coalesce(max(j.seq), 0) FROM journal j WHERE j.topic = topic.word)");
      }
      sent = readings();
    }

    @Override
    public void close() throws IOException {
      agent.close();
      gauge.close();
      subscriber.close();
    }
  }
}
