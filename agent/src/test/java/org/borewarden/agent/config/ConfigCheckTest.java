package org.borewarden.agent.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.file.yaml.Problem;
import org.borewarden.rules.part.Feature;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The two files against each other, and what is said when both are good. */
class ConfigCheckTest {
  private static final String HEAD = "agent: a\nroot: a\nrules: r\ndata: d\nbroker: mqtt://b\n";

  @TempDir private Path folder;

  private AgentConfig config(String text) throws IOException {
    Path file = Files.writeString(folder.resolve("agent.yaml"), text);
    return good(AgentFile.read(file, AgentFileTest::environment));
  }

  private static RulesResult rules(String text) {
    return good(RulesFile.read("rules.yaml", text));
  }

  private static <T> T good(Outcome<T> outcome) {
    if (outcome instanceof Outcome.Good<T> good) {
      return good.value();
    }
    throw new AssertionError(outcome.toString());
  }

  private static List<String> told(ConfigCheck.Checked checked) {
    return checked.problems().stream().map(Problem::toString).toList();
  }

  @Test
  void theSmallestPairIsGoodAndUnderstood() throws IOException {
    AgentConfig config = config(Cases.resource("/smallest/agent.yaml"));
    RulesResult rules = rules(Cases.resource("/smallest/rules.yaml"));
    ConfigCheck.Checked checked = ConfigCheck.references(config, rules);
    assertThat(told(checked)).isEmpty();
    assertThat(Json.schemaErrors("rules.schema.json", Cases.resource("/smallest/rules.yaml")))
        .isEmpty();
    assertThat(Understood.lines(config, checked, "2026-11-26"))
        .containsExactly(
            "agent northworks-cell-4, topics below northworks/housings/cell-4",
            "  broker: mqtt://127.0.0.1:1883, MQTT 5, no user, not encrypted",
            "  data: " + folder.resolve("data"),
            "  metrics: http://127.0.0.1:9477",
            "  commands: none over MQTT; no local socket: nobody can release a hold",
            "rules revision " + rules.rules().revision() + ", 1 feature",
            "feature bearing-seat, number 1, part housing-31",
            "  limits: 62.000 mm to 62.030 mm (nominal 62.000 mm, +0.030 mm 0 mm, centre 62.015"
                + " mm)",
            "  decision: simple acceptance: no uncertainty is stated",
            "  undersize: rework, hold at the end of the part",
            "  oversize: scrap, hold at the end of the part",
            "  watch forecast: out within 10 parts, 2 bores say so: alert",
            "  watch forecast: out within 4 parts, 2 bores say so: hold at the end of the part",
            "  watch forecast: straight line from 12 bores on, 95 %, sigma from the bores"
                + " themselves, lead 1 part",
            "  gauge: bore-1 on /dev/ttyUSB0, in mm",
            "  cell: cell-4 over Modbus TCP at 192.168.10.20:502 (registers from 0, the cell's"
                + " from 100, beat 250 ms)",
            "readiness on 2026-11-26",
            "  feature       T         u  U  k  g         accepted                T/(2U)  T/u  T/r",
            "  bearing-seat  0.030 mm  -  -  -  0.000 mm  62.000 mm to 62.030 mm  -       -    -",
            "  bearing-seat: no uncertainty is stated: simple acceptance, a size at a limit is as"
                + " likely out as in");
  }

  @Test
  void theSmallestFilesAreAboutTenLinesEach() {
    for (String file : List.of("/smallest/agent.yaml", "/smallest/rules.yaml")) {
      assertThat(Cases.resource(file).lines().count()).as(file).isLessThanOrEqualTo(10);
    }
  }

  @Test
  void withOneCellAFeatureWithoutCellBelongsToIt() throws IOException {
    AgentConfig config = config(Cases.resource("/smallest/agent.yaml"));
    RulesResult rules = rules(Cases.resource("/smallest/rules.yaml"));
    assertThat(rules.rules().features())
        .extracting(Feature::cell)
        .containsExactly(Optional.empty());
    ConfigCheck.Checked checked = ConfigCheck.references(config, rules);
    assertThat(checked.rules().features())
        .extracting(Feature::cell)
        .containsExactly(Optional.of("cell-4"));
    assertThat(checked.rules().revision()).isEqualTo(rules.rules().revision());
  }

  @Test
  void whatTheRulesNameMustBeThere() throws IOException {
    AgentConfig config =
        config(
            HEAD
                + "ports: [{id: p, tcp: 'h:1', pattern: '(?P<input>.)(?P<value>.+)'}]\n"
                + "gauges:\n"
                + "  - {id: g1, serial: s, unit: mm}\n"
                + "  - {id: g2, port: p, input: 1, unit: mm}\n"
                + "  - {id: g3, port: p, unit: mm}\n"
                + "cells: [{id: c1, modbus: plc1}, {id: c2, modbus: plc2}]\n");
    RulesResult rules =
        rules(
            """
            part: p
            features:
              - {id: a, gauge: g9, cell: c1, nominal: 6 mm, upper: +9 um}
              - {id: b, gauge: g1, input: 1, cell: c9, nominal: 6 mm, upper: +9 um}
              - {id: c, gauge: g2, input: 2, nominal: 6 mm, upper: +9 um}
              - {id: d, gauge: g3, input: 7, cell: c2, nominal: 6 mm, upper: +9 um}
            """);
    assertThat(told(ConfigCheck.references(config, rules)))
        .containsExactly(
            "rules.yaml:3:20 features[0].gauge: expected a gauge of agent.yaml (g1, g2, g3), found"
                + " g9",
            "rules.yaml:4:31 features[1].input: expected no input where the pattern of the gauge's"
                + " port has no group (?P<input>...), found 1",
            "rules.yaml:4:40 features[1].cell: expected a cell of agent.yaml (c1, c2), found c9",
            "rules.yaml:5:31 features[2].input: expected the input of its gauge (1), found 2",
            "rules.yaml:5:5 features[2].cell: expected a cell of agent.yaml (c1, c2), found"
                + " nothing");
  }

  @Test
  void aCellOfTheHeadOfTheFileMustBeThereToo() throws IOException {
    AgentConfig config = config(HEAD + "gauges: [{id: g, serial: s, unit: mm}]\n");
    RulesResult rules =
        rules("part: p\ncell: c9\nfeatures: [{id: a, gauge: g, nominal: 6 mm, upper: +9 um}]\n");
    assertThat(told(ConfigCheck.references(config, rules)))
        .containsExactly(
            "rules.yaml:3:12 features[0].cell: expected a cell of agent.yaml (it has none), found"
                + " c9");
  }

  @Test
  void whatMeasuresNothingIsNotedAndNoMistake() throws IOException {
    AgentConfig config =
        config(
            HEAD
                + "gauges: [{id: g1, serial: s1, unit: mm}, {id: g2, serial: s2, unit: mm}]\n"
                + "cells: [{id: c1, mqtt: informs}, {id: c2, mqtt: only-path}]\n");
    RulesResult rules =
        rules("part: p\ncell: c1\nfeatures: [{id: a, gauge: g1, nominal: 6 mm, upper: +9 um}]\n");
    ConfigCheck.Checked checked = ConfigCheck.references(config, rules);
    assertThat(told(checked)).isEmpty();
    assertThat(checked.notes())
        .containsExactly(
            "gauge g2 measures no feature: its readings are shown only",
            "cell c2 has no feature: no bore can hold it");
    assertThat(Understood.lines(config, checked, "2026-11-26"))
        .contains(
            "  cell: c1 over MQTT to inform, nothing stops the cell (beat 250 ms)",
            "note: gauge g2 measures no feature: its readings are shown only");
  }

  @Test
  void withoutACellNoPermitIsWithdrawn() throws IOException {
    AgentConfig config = config(HEAD + "gauges: [{id: g, serial: s, unit: mm}]\nhttp: off\n");
    RulesResult rules =
        rules("part: p\nfeatures: [{id: a, gauge: g, nominal: 6 mm, upper: +9 um}]\n");
    ConfigCheck.Checked checked = ConfigCheck.references(config, rules);
    assertThat(told(checked)).isEmpty();
    assertThat(Understood.lines(config, checked, "2026-11-26"))
        .contains("  cell: none: no permit is withdrawn", "  metrics: off");
  }

  @Test
  void whoGoesByItsCellNeedsOne() throws IOException {
    String gauges = "gauges: [{id: g, serial: s, unit: mm}]\nhttp: off\n";
    RulesResult rules =
        rules(
            """
            part: p
            gauges: [{id: g, which: {by: cell}}]
            features: [{id: a, gauge: g, nominal: 6 mm, upper: +9 um}]
            """);
    assertThat(told(ConfigCheck.references(config(HEAD + gauges), rules)))
        .containsExactly(
            "rules.yaml:2:25 gauges[0].which: expected a cell in agent.yaml, which names the"
                + " features (it has none), found none");
    String cell = "cells: [{id: c1, modbus: plc1}]\n";
    assertThat(told(ConfigCheck.references(config(HEAD + gauges + cell), rules))).isEmpty();
  }

  @Test
  void whatIsUnderstoodNamesNoSecret() throws IOException {
    Path key = Files.writeString(folder.resolve("key"), "Hunter2\n");
    Files.setPosixFilePermissions(
        key, java.nio.file.attribute.PosixFilePermissions.fromString("rw-------"));
    AgentConfig config =
        config(
            "agent: a\nroot: a\nrules: r\ndata: d\n"
                + "broker: {url: 'mqtts://b', version: 3.1.1, user: u, password-env: MQTT_PASSWORD}\n"
                + "gauges: [{id: g, tcp: 'h:1', pattern: '(?P<input>.)(?P<value>.+)(?P<unit>.)'}]\n"
                + "cells: [{id: c, modbus: {listen: 0.0.0.0, peers: [10.0.0.7]}, mqtt: informs, watch-only-until:"
                + " 2026-03-31}]\n"
                + "commands: {trust: signed, keys: {k: key}, socket: s}\n");
    RulesResult rules =
        rules("part: p\nfeatures: [{id: a, gauge: g, input: 1, nominal: 6 mm, upper: +9 um}]\n");
    ConfigCheck.Checked checked = ConfigCheck.references(config, rules);
    assertThat(told(checked)).isEmpty();
    assertThat(Understood.lines(config, checked, "2026-11-26"))
        .noneMatch(line -> line.contains("Hunter2"))
        .contains(
            "  broker: mqtts://b:8883, MQTT 3.1.1, user u",
            "  commands: over MQTT, signed with one of 1 keys; local socket " + folder.resolve("s"),
            "  gauge: g on h:1, input 1, unit in the frame",
            "  cell: c over Modbus TCP, listening on 0.0.0.0:502 (registers from 0, the cell's from"
                + " 100, beat 250 ms) and MQTT to inform (beat 250 ms), watch-only until 2026-03-31"
                + " (the permit stays)");
  }
}
