package org.borewarden.agent.proof;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The diagrams and the reason numbers of docs/hold.md are what the engine does and says. */
class TimingDiagramsTest {
  private static final Path DOC = Path.of("..", "docs", "hold.md");
  private static final RuleSet RULES =
      Northworks4.rules(
          """
          part: housing-31
          cell: cell-4
          features:
            - {id: bearing-seat, gauge: bore-1, nominal: 62.000 mm, upper: +0.030 mm, lower: 0 mm}
          """);

  private State state = State.initial();
  private long seq;
  private Optional<Integer> granted = Optional.empty();
  private int boot;
  private long parts;

  @BeforeEach
  void start() {
    take(Northworks4.started(++boot, true));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "hold-and-release",
        "later-cause-voids-a-release",
        "condition",
        "restart",
        "trial",
        "trial-bad-bore",
        "bypass"
      })
  void eachDiagramIsWhatTheEngineDoesAndStandsInTheDocument(String name) throws IOException {
    String diagram = resource(name);
    List<String> lines = diagram.lines().toList();
    List<String> ran = new ArrayList<>(List.of(lines.get(0)));
    for (String line : lines.subList(1, lines.size())) {
      String what = line.substring(0, 29).strip();
      happen(what);
      ran.add(row(what));
    }
    assertThat(ran).isEqualTo(lines);
    assertThat(Files.readString(DOC, StandardCharsets.UTF_8))
        .contains("```text\n" + diagram + "```");
  }

  @Test
  void theReasonNumbersOfTheDocumentAreThoseOfTheCode() throws IOException {
    String table =
        Arrays.stream(Reason.values())
            .map(r -> "| " + r.number() + " | `" + r.key() + "` |")
            .collect(Collectors.joining("\n"));
    List<String> document =
        Files.readAllLines(DOC, StandardCharsets.UTF_8).stream()
            .filter(line -> line.matches("\\| \\d+ \\| `.*"))
            .map(line -> line.substring(0, line.indexOf('|', line.indexOf('`')) + 1))
            .toList();
    assertThat(String.join("\n", document)).isEqualTo(table);
  }

  private String row(String what) {
    HoldView hold = hold();
    String kind = hold.kind().map(k -> k == StopKind.END_OF_PART ? "E" : "N").orElse("-");
    String phase = hold.phase().name().toLowerCase(Locale.ROOT).replace('_', '-');
    String permit = hold.permitted() ? "####" : "";
    return String.format(Locale.ROOT, "%-29s%-8s%-6s%s", what, permit, kind, phase);
  }

  private void happen(String what) {
    String[] words = what.split(" ", -1);
    switch (words[0]) {
      case "rules," -> {
        take(new Event.RulesLoaded(RULES));
        take(Northworks4.source(true));
        take(Northworks4.link(true));
      }
      case "synced" -> {
        int revision = granted.orElse(hold().revision());
        granted = Optional.empty();
        take(new Event.GrantSynced(Northworks4.CELL, revision));
      }
      case "bore" -> take(Northworks4.bore(Integer.parseInt(words[1])));
      case "heard" -> take(Northworks4.reported(hold().number(), false, parts));
      case "stopped" -> take(Northworks4.reported(hold().number(), true, parts));
      case "part" -> take(Northworks4.reported(0, false, ++parts));
      case "release" -> take(Northworks4.release(hold(), OptionalInt.empty()));
      case "trial" -> take(Northworks4.release(hold(), OptionalInt.of(Integer.parseInt(words[2]))));
      case "bypass" -> take(Northworks4.bypass(hold()));
      case "gauge" -> take(Northworks4.source(words[1].equals("back")));
      case "link" -> take(Northworks4.link(words[1].equals("back")));
      case "killed," -> {
        granted = Optional.empty();
        take(Northworks4.started(++boot, false));
      }
      default -> throw new IllegalArgumentException("no such step: " + what);
    }
  }

  private void take(Event event) {
    Step step = Engine.step(state, new Stamped(seq + 1, Cell.NOW, event));
    state = step.next();
    seq += 1 + step.decisions().size();
    for (Decision decision : step.decisions()) {
      if (decision instanceof Decision.HoldChanged changed && changed.grantPending().isPresent()) {
        granted = changed.grantPending();
      }
    }
  }

  private HoldView hold() {
    return state.cellView(Northworks4.CELL, Cell.NOW).orElseThrow().hold();
  }

  private static String resource(String name) throws IOException {
    try (InputStream in =
        Optional.ofNullable(TimingDiagramsTest.class.getResourceAsStream(name + ".txt"))
            .orElseThrow()) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}
