package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.concurrent.Callable;
import org.borewarden.agent.faults.FaultProxy.Fault;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.demo.machine.GaugePort;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The whole agent without its broker for as many readings as four gauges give in three days at one
 * a second, and then the backlog's way out; only with {@code -Dborewarden.long=true}, and with
 * {@code -Dborewarden.readings=N} for fewer. The agent has 64 MiB of heap: the backlog would not
 * fit in by a factor of ten.
 */
class BacklogIT {
  private static final boolean LONG = Boolean.getBoolean("borewarden.long");
  private static final int GAUGES = 4;
  private static final int READINGS =
      Integer.getInteger("borewarden.readings", 3 * 86_400 * GAUGES);
  private static final int BLOCKS = 8;
  private static final int LINES_AT_ONCE = 50;
  private static final long FLAT_WITHIN_BYTES = 5_000_000;
  private static final long MOST_BYTES_A_RECORD = 600;
  private static final Duration PATIENCE = Duration.ofHours(2);

  @TempDir Path scratch;

  private final List<GaugePort> gauges = new ArrayList<>();
  private final List<Long> heap = new ArrayList<>();

  @Test
  void aBrokerAwayForDaysCostsDiskAndNoMemoryAndWhatItMissedComesInOrderBehindANewHold()
      throws Exception {
    assumeTrue(LONG, "only with -Dborewarden.long=true");
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true", "max_queued_messages 0");
        FaultProxy network = FaultProxy.before(broker.port());
        ChainEar ear = ChainEar.on(broker.port(), "b/#");
        AgentRun agent = new AgentRun(scratch)) {
      network.strike(Fault.RESETS);
      write(network.port());
      agent.start();
      for (GaugePort gauge : gauges) {
        Waits.until("the agent at its gauge", () -> gauge.clients() > 0);
        gauge.send("");
      }
      long filled = fill(agent);
      assertThat(ear.records()).as("heard while the broker is away").isZero();
      long bytes = number("PRAGMA page_count") * number("PRAGMA page_size");
      long entries = number("SELECT max(seq) FROM journal");
      assertThat(bytes / entries).as("bytes a record").isLessThan(MOST_BYTES_A_RECORD);
      long begun = System.nanoTime();
      network.strike(Fault.NONE);
      Waits.until("the first of the backlog", () -> ear.records() > 0);
      gauges.get(0).send("62.090 mm");
      wait("half of the backlog", () -> ear.records() > READINGS);
      heap.add(ProcessLook.liveHeap(agent.pid()));
      wait("an empty outbox", () -> number("SELECT EXISTS (SELECT 1 FROM outbox)") == 0);
      double seconds = (System.nanoTime() - begun) / 1e9;
      long published = number("SELECT count(*) FROM journal WHERE topic IS NOT NULL");
      wait("all at the consumer", () -> ear.records() == published || ear.wrong().isPresent());
      System.err.printf(
          "backlog: %d readings in %d s, %d entries, %d bytes each; live heap %s; %d records drained"
              + " in %.0f s, %d repeats; a hold was heard when %d had come%n",
          READINGS,
          filled,
          entries,
          bytes / entries,
          heap,
          published,
          seconds,
          ear.repeats(),
          ear.heldAfter().orElse(-1L));
      assertThat(ear.wrong()).isEmpty();
      assertThat(published).isGreaterThan(2L * READINGS);
      assertThat(ear.heldAfter()).hasValueSatisfying(at -> assertThat(at).isLessThan(published));
      assertThat(Collections.max(heap) - Collections.min(heap)).isLessThan(FLAT_WITHIN_BYTES);
      agent.stop();
      assertThat(Verify.dataFolder(agent.data()).whole()).isTrue();
      assertThat(readings()).isEqualTo(READINGS + 1L);
    } finally {
      for (GaugePort gauge : gauges) {
        gauge.close();
      }
    }
  }

  /** If this one were content, nor could the test above see a gap. */
  @Test
  void aConsumerThatMissesOneRecordOrHearsTwoInTheWrongOrderSaysSo() {
    for (List<Integer> order : List.of(List.of(1, 3), List.of(2, 1), List.of(1, 3, 2))) {
      ChainEar ear = ChainEar.deaf();
      order.forEach(seq -> ear.take("b/verdict/x", record(seq)));
      assertThat(ear.wrong()).as("%s", order).isPresent();
    }
    ChainEar content = ChainEar.deaf();
    List.of(1, 2, 1, 2, 3).forEach(seq -> content.take("b/verdict/x", record(seq)));
    assertThat(content.wrong()).isEmpty();
    assertThat(content.repeats()).isEqualTo(2);
  }

  private static String record(int seq) {
    return "{\"seq\":" + seq + ",\"prev\":" + (seq - 1) + "}";
  }

  private void write(int brokerPort) throws IOException {
    StringBuilder rules = new StringBuilder("part: housing-31\nfeatures:\n");
    StringBuilder ports = new StringBuilder();
    for (int number = 1; number <= GAUGES; number++) {
      GaugePort gauge = GaugePort.open(0);
      gauges.add(gauge);
      rules.append(
          """
            - {id: seat-%1$d, cell: cell-4, gauge: bore-%1$d,
               nominal: 62.000 mm, upper: +0.030 mm, lower: 0 mm}
          """
              .formatted(number));
      ports.append(
          "  - {id: bore-%d, tcp: \"127.0.0.1:%d\", unit: mm}%n".formatted(number, gauge.port()));
    }
    AgentRun.file(scratch, "rules.yaml", rules.toString());
    AgentRun.file(
        scratch,
        "agent.yaml",
        """
        agent: northworks-cell-4
        root: b
        rules: rules.yaml
        data: data
        broker: {url: "mqtt://127.0.0.1:%d", version: 5}
        gauges:
        %scells:
          - {id: cell-4, mqtt: only-path}
        http: {port: 0}
        commands: {trust: broker}
        """
            .formatted(brokerPort, ports));
  }

  /** Sends all readings, as fast as the agent takes them, and looks at its heap between. */
  private long fill(AgentRun agent) throws Exception {
    Random random = new Random(8);
    long begun = System.nanoTime();
    int sent = 0;
    for (int block = 1; block <= BLOCKS; block++) {
      int until = (int) ((long) READINGS * block / BLOCKS);
      while (sent < until) {
        int lines = Math.min(LINES_AT_ONCE, until - sent);
        StringBuilder text = new StringBuilder();
        for (int line = 0; line < lines; line++) {
          text.append("62.0").append(10 + random.nextInt(10)).append(" mm\r\n");
        }
        gauges
            .get(sent / LINES_AT_ONCE % GAUGES)
            .sendBytes(text.toString().getBytes(StandardCharsets.US_ASCII));
        sent += lines;
      }
      int all = sent;
      // Each reading is at least two entries, and counting them takes long.
      wait(
          "the readings in the journal",
          () -> number("SELECT max(seq) FROM journal") >= 2L * all && readings() == all);
      heap.add(ProcessLook.liveHeap(agent.pid()));
      System.err.printf(
          "backlog: %d readings after %.0f s, live heap %d bytes%n",
          all, (System.nanoTime() - begun) / 1e9, heap.get(heap.size() - 1));
    }
    return (System.nanoTime() - begun) / 1_000_000_000L;
  }

  private long readings() throws SQLException {
    return number(
        "SELECT count(*) FROM journal"
            + " WHERE kind=(SELECT id FROM word WHERE text='reading-taken')");
  }

  private long number(String query) throws SQLException {
    String file = scratch.resolve("data/journal/journal.db").toString();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(query)) {
      return row.next() ? row.getLong(1) : 0;
    }
  }

  private static void wait(String what, Callable<Boolean> done) throws Exception {
    if (!Waits.most(PATIENCE, Duration.ofSeconds(2), done)) {
      throw new AssertionError("waited in vain for " + what);
    }
  }
}
