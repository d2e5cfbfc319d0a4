package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.stream.Stream;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.mqtt.LinkSettings;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.borewarden.agent.publish.mqtt.DeliveryListener;
import org.borewarden.agent.publish.mqtt.RecordLimits;
import org.borewarden.agent.publish.mqtt.RecordPublisher;

/**
 * The way of a record as the agent has it, from the journal on the disk by the outbox and the
 * publisher to a consumer on the broker's other side. The test is the loop that appends.
 */
final class RecordLine implements AutoCloseable {
  private static final int PAD = 120;

  private final Path data;
  private final JournalStore store;
  private final MqttLink link;
  private final RecordPublisher publisher;
  private final TestSubscriber subscriber;
  private final Map<String, Long> last = new HashMap<>();
  private final List<String> asideKeys = new CopyOnWriteArrayList<>();
  private final String root;
  private long seq;
  private boolean gone;

  /**
   * Begins.
   *
   * @param data its own folder
   * @param agentSide the port that the agent connects to
   * @param broker the broker's port, for the consumer
   * @param root its own root
   */
  RecordLine(Path data, int agentSide, int broker, String root) throws Exception {
    this(data, URI.create("mqtt://127.0.0.1:" + agentSide), broker, root);
  }

  /** The same where the agent finds its broker elsewhere. */
  RecordLine(Path data, URI agentSide, int broker, String root) throws Exception {
    this(data, settings(agentSide, root), broker, root);
  }

  /** The same with other waits. */
  RecordLine(Path data, LinkSettings settings, int broker, String root) throws Exception {
    this.data = data;
    this.root = root;
    subscriber = TestSubscriber.on(broker, root + "/#");
    store = JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", Instant::now, System::nanoTime);
    link = new MqttLink(settings, new Random(root.hashCode()), System::nanoTime);
    publisher =
        new RecordPublisher(
            link,
            store.outbox(),
            envelope(),
            new Topics(root),
            new RecordLimits(65_536, Optional.empty()),
            System::nanoTime,
            new Counting());
    store.start(new Quiet());
    publisher.start();
    link.start();
  }

  /** A broker, and a keep-alive of 2 s. */
  static BrokerConfig broker(URI agentSide, String clientId) {
    return new BrokerConfig(
        agentSide,
        BrokerConfig.Version.V5,
        clientId,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Duration.ofSeconds(2),
        19,
        64 * 1024);
  }

  private static LinkSettings settings(URI agentSide, String clientId) {
    return new LinkSettings(
        "record",
        broker(agentSide, clientId),
        Optional.empty(),
        Duration.ofSeconds(5),
        Duration.ofMillis(50),
        Duration.ofMillis(500),
        Duration.ofSeconds(30));
  }

  /** Writes down for which kind of reason records are set aside, as the metric counts them. */
  private final class Counting implements DeliveryListener {
    @Override
    public void changed(boolean delivers, String detail) {}

    @Override
    public void setAside(String why) {
      asideKeys.add(why);
    }
  }

  private static final class Quiet implements JournalListener {
    @Override
    public void durable(long seq) {}

    @Override
    public void failed(String why) {}

    @Override
    public void recovered() {}
  }

  /** The client id that the link uses. */
  String clientId() {
    return root + "-record";
  }

  Envelope envelope() {
    return new Envelope("cell-4", store.opened().id());
  }

  MqttLink link() {
    return link;
  }

  /** Appends rows, on several topics in turn. */
  void append(int rows) {
    for (int row = 0; row < rows; row++) {
      append("verdict/f" + seq % 5, PAD);
    }
  }

  void append(String topic, int pad) {
    seq++;
    Long before = last.put(topic, seq);
    store.append(
        List.of(
            new Entry(
                seq,
                seq,
                Instant.now(),
                "bore-judged",
                Optional.of(topic),
                before == null ? 0 : before,
                "r1",
                "{\"pad\":\"" + "x".repeat(pad) + "\",\"nanos\":" + System.nanoTime() + "}")));
  }

  /** Whether all that was appended is stored, and the broker has acknowledged or refused it. */
  boolean drained() {
    return store.stats().durableSeq() == seq && store.stats().outboxWaiting() == 0;
  }

  long setAside() {
    return publisher.setAside();
  }

  /** The kinds of reason, one for each record that was set aside. */
  List<String> asideKeys() {
    return List.copyOf(asideKeys);
  }

  Consumer consumer() {
    return consumer(true);
  }

  private Consumer consumer(boolean inOrder) {
    Consumer consumer = new Consumer(inOrder);
    subscriber.heard().forEach(heard -> consumer.take(heard.topic(), heard.text()));
    return consumer;
  }

  /** The longest time from the appending of a record to its first arrival. */
  Duration slowest() {
    long most = 0;
    Set<Long> first = new HashSet<>();
    List<TestSubscriber.Heard> heard = subscriber.heard();
    List<Long> arrived = subscriber.arrivedNanos();
    for (int at = 0; at < heard.size(); at++) {
      var json = Story.tree(heard.get(at).text());
      if (json.hasNonNull("nanos") && first.add(json.path("seq").asLong())) {
        most = Math.max(most, arrived.get(at) - json.path("nanos").asLong());
      }
    }
    return Duration.ofNanos(most);
  }

  TestSubscriber subscriber() {
    return subscriber;
  }

  /** Whether everything that was appended is acknowledged and at the consumer. */
  boolean allThere() {
    return drained() && subscriber.heard().size() >= seq && consumer().distinct() >= seq;
  }

  /** Everything that was appended is at the consumer, once without repeats and in order. */
  Consumer requireAll() throws Exception {
    return requireAll(true);
  }

  /** The same, in whatever order. */
  Consumer requireAllInAnyOrder() throws Exception {
    return requireAll(false);
  }

  private Consumer requireAll(boolean inOrder) throws Exception {
    Waits.until("an empty outbox", this::drained);
    Waits.until("all at the consumer", () -> consumer(inOrder).distinct() >= seq);
    Consumer consumer = consumer(inOrder);
    List<Entry> entries = new ArrayList<>(Journals.all(data));
    assertThat(entries).hasSize((int) seq);
    consumer.requireAll(entries, envelope());
    assertThat(asideKeys()).as("set aside by chance, %s", root).isEmpty();
    return consumer;
  }

  /** The consumer goes away for good. */
  void leave() {
    if (gone) {
      return;
    }
    gone = true;
    subscriber.close();
  }

  boolean journalIsWhole() throws Exception {
    return Verify.dataFolder(data).whole();
  }

  /** Closes it and takes its folder away, for tests of many lines. */
  void closeAndForget() throws IOException {
    close();
    try (Stream<Path> files = Files.walk(data)) {
      for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(file);
      }
    }
  }

  @Override
  public void close() {
    publisher.close();
    link.close();
    store.close();
    leave();
  }
}
