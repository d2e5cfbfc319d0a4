package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.stream.LongStream;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.demo.controller.Controller;
import org.borewarden.demo.machine.GaugePort;

/** One agent as a process, with its gauge, its broker, its consumer and its cell. */
final class Plant implements AutoCloseable {
  private final TestBroker broker =
      TestBroker.mosquitto("allow_anonymous true", "max_queued_messages 0");
  private final FaultProxy network = FaultProxy.before(broker.port());
  private final TestSubscriber subscriber;
  private final GaugePort gauge = GaugePort.open(0);
  private final Controller cell =
      Controller.start(Controller.Settings.loopback(Duration.ofMillis(300)));
  private final int metricsPort = TestBroker.freePort();
  private final AgentRun agent;
  private final long day;
  private final int readings;
  private int sent;

  /**
   * Starts all but the agent.
   *
   * @param folder of its own
   * @param root of the topics, of its own
   * @param day the seed of the values
   * @param readings how many values the day has
   */
  Plant(Path folder, String root, long day, int readings) throws Exception {
    this(folder, root, day, readings, List.of());
  }

  /** The same with an agent below a program that watches it or takes something from it. */
  Plant(Path folder, String root, long day, int readings, List<String> watcher) throws Exception {
    this.day = day;
    this.readings = readings;
    subscriber = TestSubscriber.on(broker.port(), root + "/#");
    agent = new AgentRun(folder, watcher);
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
        http: {port: %d}
        commands: {trust: broker}
        """
            .formatted(root, network.port(), gauge.port(), cell.port(), metricsPort));
  }

  /** A day on which nothing latches, so that only the fault can take the permit. */
  static long dayWithoutHold(long from, int readings) {
    return LongStream.iterate(from, day -> day + 1)
        .filter(day -> Shop.golden(day, readings).stream().noneMatch(l -> l.startsWith("hold")))
        .findFirst()
        .orElseThrow();
  }

  /** Starts the agent and waits until the cell has its permit. */
  void start() throws Exception {
    agent.start();
    awaitGauge();
    awaitPermit();
  }

  void awaitGauge() throws Exception {
    if (!Waits.most(Waits.MOST, () -> gauge.clients() > 0)) {
      throw new AssertionError("the agent is not at its gauge; it said " + agent.said());
    }
    // Ends what the start of the line may have garbled.
    gauge.sendBytes("\r\n".getBytes(StandardCharsets.US_ASCII));
  }

  void awaitPermit() throws Exception {
    Waits.until("a permit", () -> cell.state().permit());
  }

  void send(int most) {
    for (int i = 0; i < most && sent < readings; i++) {
      gauge.send(Shop.value(day, sent++) + " mm");
    }
  }

  /** The gauge goes on behind what the journal has. */
  void sendAgainWhatWasNotTaken() throws Exception {
    gauge.dropClients();
    sent = Files.exists(agent.data().resolve("journal/journal.db")) ? taken() : 0;
  }

  void signal(String name) throws IOException, InterruptedException {
    Process kill = new ProcessBuilder("kill", "-" + name, Long.toString(agent.pid())).start();
    assertThat(kill.waitFor()).isZero();
  }

  /** All is judged as an undisturbed engine judges, and all has arrived; the repeats. */
  int requireTheStory() throws Exception {
    send(readings);
    Waits.untilJournal("all readings", () -> taken() == readings);
    Waits.untilJournal("an empty outbox", () -> Verify.dataFolder(agent.data()).outbox() == 0);
    List<Entry> entries = Journals.all(agent.data());
    Story.requireSame(Shop.golden(day, readings), Story.of(entries));
    long published = entries.stream().filter(e -> e.topic().isPresent()).count();
    Waits.most(Duration.ofSeconds(20), () -> consumer().distinct() >= published);
    try (JournalReader reader = JournalReader.open(agent.data())) {
      Consumer consumer = consumer();
      consumer.requireAll(
          Journals.all(agent.data()), new Envelope("northworks-cell-4", reader.journalId()));
      return consumer.repeats();
    }
  }

  /** Readings in the journal. */
  int taken() throws Exception {
    return Journals.count(Journals.all(agent.data()), "reading-taken");
  }

  int sent() {
    return sent;
  }

  TestBroker broker() {
    return broker;
  }

  /** Between the agent and its broker. */
  FaultProxy network() {
    return network;
  }

  GaugePort gauge() {
    return gauge;
  }

  Controller cell() {
    return cell;
  }

  URI metrics() {
    return URI.create("http://127.0.0.1:" + metricsPort + "/metrics");
  }

  AgentRun agent() {
    return agent;
  }

  TestSubscriber subscriber() {
    return subscriber;
  }

  private Consumer consumer() {
    Consumer consumer = new Consumer();
    subscriber.heard().forEach(heard -> consumer.take(heard.topic(), heard.text()));
    return consumer;
  }

  @Override
  public void close() throws IOException {
    agent.close();
    gauge.close();
    cell.close();
    subscriber.close();
    network.close();
    broker.close();
  }
}
