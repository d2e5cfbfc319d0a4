package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import com.fasterxml.uuid.Generators;
import java.io.Writer;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.loop.Rejudge;
import org.borewarden.agent.payload.PayloadSchemas;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.rules.file.yaml.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Rules that are changed under a running agent, on a real broker, with a gauge that goes on. */
class RulesReloadTest {
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final String ROOT = "northworks/housings/cell-4";
  private static final String ANSWERS = ROOT + "/answer/office";

  @TempDir private Path folder;

  @Test
  void rulesChangeBetweenTwoReadingsAndABrokenFileChangesNothing() throws Exception {
    int readings = 0;
    try (TestBroker broker = TestBroker.start();
        ServerSocket port = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
        TestSubscriber plant = TestSubscriber.on(broker.port(), ROOT + "/#")) {
      rules("+0.030", "bearing-seat");
      ReadFiles files = ReadFiles.of(config(broker.port(), port.getLocalPort()));
      assertThat(files.problems()).isEmpty();
      AgentConfig config = ((Outcome.Good<AgentConfig>) files.config()).value();
      RulesInForce inForce = new RulesInForce(files);
      try (Wiring agent = Wiring.start(config, inForce);
          Socket gauge = port.accept();
          Writer out =
              new java.io.OutputStreamWriter(gauge.getOutputStream(), StandardCharsets.US_ASCII)) {
        // The first frame of a link is doubted until its line was quiet or a terminator came, and
        // rejected where a loaded machine let no quiet pass before it: nineteen verdicts of twenty.
        out.write("\r\n");
        String first = revision(plant, "");
        readings += burst(out, plant, readings);

        // Narrower, by the file alone: the same bore is now out.
        rules("+0.005", "bearing-seat");
        while (agentTopic(plant).contains(first)) {
          readings += burst(out, plant, readings);
        }
        String second = revision(plant, first);
        readings += burst(out, plant, readings);

        // Refused whole, and told where; what was in force stays.
        write("part: housing-31\nfeatures:\n  - {id: bearing-seat, gauge: bore-1, uper: 1 mm}\n");
        agent.reloadRules();
        plant.await(m -> m.topic().equals(ROOT + "/agent") && m.text().contains("rules_refused"));
        assertThat(agentTopic(plant))
            .contains("\"rules\":\"" + second + "\"", "rules.yaml:3:", "uper", "upper");
        assertThat(inForce.problem()).as("rules are in force").isEmpty();
        readings += burst(out, plant, readings);

        // Another feature: the retained topic of the one that is gone is cleared.
        rules("+0.030", "bearing-bore");
        plant.say(ROOT + "/command/inspector/reload", order(), false);
        plant.say(ROOT + "/command/it/reload", order(), false);
        plant.await(m -> m.topic().equals(ROOT + "/trend/bearing-seat") && m.text().isEmpty());
        assertThat(agentTopic(plant)).doesNotContain("rules_refused");
        plant.await(m -> m.topic().equals(ANSWERS) && m.text().contains("\"code\":\"accepted\""));
        plant.await(m -> m.topic().equals(ANSWERS) && m.text().contains("\"code\":\"no-right\""));
        readings += burst(out, plant, readings);
      }
      plant.await(m -> m.text().contains("\"why\":\"stopped\""));
      everyPayloadIsAsItsSchemaSays(plant);
    }
    everyReadingIsJudgedOnceByTheRulesOfItsRecord(readings);
  }

  @Test
  void aFileThatIsReplacedWhileItIsReadIsTakenOnceItRests() throws Exception {
    rules("+0.030", "bearing-seat");
    RulesInForce inForce = new RulesInForce(ReadFiles.of(config(1, 2)));
    java.util.concurrent.BlockingQueue<String> told =
        new java.util.concurrent.LinkedBlockingQueue<>();
    org.borewarden.agent.intake.EventSink inbox =
        new org.borewarden.agent.intake.EventSink() {
          @Override
          public void put(org.borewarden.rules.engine.Event event) {
            told.add(event.getClass().getSimpleName());
          }

          @Override
          public boolean offer(org.borewarden.rules.engine.Event event) {
            return told.add(event.getClass().getSimpleName());
          }
        };
    try (RulesReload watch =
        new RulesReload(
            folder.resolve("rules.yaml"),
            inForce,
            kept -> told.add("kept"),
            inbox,
            Duration.ofMillis(30))) {
      watch.start();
      Files.delete(folder.resolve("rules.yaml"));
      assertThat(told.take()).isEqualTo("kept");
      assertThat(told.take()).as("a missing file is refused").isEqualTo("RulesRefused");
      assertThat(inForce.problemLines())
          .singleElement()
          .asString()
          .contains("expected a readable file");
      rules("+0.030", "bearing-seat");
      assertThat(told.take()).isEqualTo("kept");
      assertThat(told.take())
          .as("the same rules again are told: they are good")
          .isEqualTo("RulesLoaded");
      watch.ask();
      rules("+0.031", "bearing-seat");
      assertThat(told.take()).isEqualTo("kept");
      assertThat(told.take()).isEqualTo("RulesLoaded");
    }
    assertThat(told).as("each change is told once").isEmpty();
  }

  /** Sends twenty bores and waits until all so far have their verdict. */
  private static int burst(Writer out, TestSubscriber plant, int before) throws Exception {
    for (int i = 0; i < 20; i++) {
      out.write(String.format(Locale.ROOT, "62.01%d%n", i % 10).replace("\n", "\r\n"));
    }
    out.flush();
    await()
        .atMost(SOON)
        .untilAsserted(
            () ->
                assertThat(verdicts(plant))
                    .as(
                        () ->
                            "%s"
                                .formatted(
                                    plant.heard().stream()
                                        .map(TestSubscriber.Heard::topic)
                                        .toList()))
                    .isGreaterThanOrEqualTo(before + 20L));
    return 20;
  }

  private static String order() {
    return "{\"id\":\"%s\",\"who\":\"k-berg\",\"answer_to\":\"%s\"}"
        .formatted(Generators.timeBasedEpochGenerator().generate(), ANSWERS);
  }

  private static long verdicts(TestSubscriber plant) {
    return plant.heard().stream().filter(m -> m.topic().startsWith(ROOT + "/verdict/")).count();
  }

  private static String agentTopic(TestSubscriber plant) {
    return plant.heard().stream()
        .filter(m -> m.topic().equals(ROOT + "/agent"))
        .reduce((a, b) -> b)
        .map(TestSubscriber.Heard::text)
        .orElse("");
  }

  private static String revision(TestSubscriber plant, String other) {
    Pattern rules = Pattern.compile("\"rules\":\"(\\w+)\"");
    String[] found = {""};
    await()
        .atMost(SOON)
        .until(
            () -> {
              rules.matcher(agentTopic(plant)).results().forEach(m -> found[0] = m.group(1));
              return !found[0].isEmpty() && !found[0].equals(other);
            });
    return found[0];
  }

  private static void everyPayloadIsAsItsSchemaSays(TestSubscriber plant) {
    java.util.Set<String> met = new java.util.TreeSet<>();
    for (TestSubscriber.Heard heard : plant.heard()) {
      String below = heard.topic().substring(ROOT.length() + 1);
      if (!heard.text().isEmpty() && !below.equals("agent/canary")) {
        String schema = PayloadSchemas.ofTopic(below, heard.text());
        assertThat(PayloadSchemas.problems(schema, heard.text())).as("%s", heard).isEmpty();
        met.add(schema);
      }
    }
    assertThat(met)
        .contains("agent", "gauge", "reading", "verdict", "trend", "hold", "heartbeat", "alert");
  }

  private void everyReadingIsJudgedOnceByTheRulesOfItsRecord(int readings) throws Exception {
    try (JournalStore journal =
            JournalStore.open(
                folder.resolve("data"),
                JournalConfig.DEFAULT,
                "test",
                Instant::now,
                System::nanoTime);
        JournalView view = journal.reader()) {
      List<Entry> verdicts =
          view.read(1, 10_000).stream().filter(e -> e.kind().equals("bore-judged")).toList();
      assertThat(verdicts).hasSize(readings);
      assertThat(verdicts.stream().map(Entry::rules).distinct().toList())
          .as("three revisions judged")
          .hasSize(3);
      for (Entry verdict : verdicts) {
        boolean narrow = verdict.body().contains("\"upper\":62.005");
        assertThat(verdict.body())
            .contains(narrow ? "\"verdict\":\"oversize\"" : "\"verdict\":\"within\"");
      }
      assertThat(Rejudge.run(view, revision -> RulesInForce.kept(view, revision)).first())
          .as("judged again from the journal alone")
          .isEmpty();
    }
  }

  private void rules(String upper, String id) throws Exception {
    write(
        """
        part: housing-31
        features:
          - id: %s
            gauge: bore-1
            nominal: 62.000 mm
            upper: %s mm
            lower: 0 mm
        """
            .formatted(id, upper));
  }

  /** As an editor or a deployment should: written beside, then moved over. */
  private void write(String text) throws Exception {
    Path beside = Files.writeString(folder.resolve("rules.new"), text, StandardCharsets.UTF_8);
    Files.move(
        beside,
        folder.resolve("rules.yaml"),
        StandardCopyOption.ATOMIC_MOVE,
        StandardCopyOption.REPLACE_EXISTING);
  }

  private Path config(int broker, int gauge) throws Exception {
    return Files.writeString(
        folder.resolve("agent.yaml"),
        """
        agent: northworks-cell-4
        root: %s
        rules: rules.yaml
        data: data
        broker: mqtt://127.0.0.1:%d
        gauges:
          - id: bore-1
            tcp: 127.0.0.1:%d
            unit: mm
        cells:
          - {id: cell-4, mqtt: only-path}
        http: off
        commands: {trust: broker}
        """
            .formatted(ROOT, broker, gauge),
        StandardCharsets.UTF_8);
  }
}
