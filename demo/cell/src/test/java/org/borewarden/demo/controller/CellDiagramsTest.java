package org.borewarden.demo.controller;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The diagrams of the cell's side in docs/hold.md are what the shipped program does. */
class CellDiagramsTest {
  private static final Path DOC = Path.of("..", "..", "docs", "hold.md");
  private static final int BOOT = 9;

  private final Bench bench = new Bench().atStart(true).scan();
  private boolean cuts;

  @ParameterizedTest
  @ValueSource(strings = {"start-point", "blip"})
  void eachDiagramIsWhatTheProgramDoesAndStandsInTheDocument(String name) throws IOException {
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

  private void happen(String what) {
    String[] words = what.split(" ", -1);
    int forMs = words.length > 3 ? milliseconds(words[words.length - 2]) : 0;
    switch (words[0]) {
      case "switched" -> bench.scan();
      case "permit" -> bench.run(BOOT, Image.PERMIT, forMs);
      case "no" -> bench.run(BOOT, 0, forMs);
      case "silence" -> {
        for (int t = 0; t < forMs; t += Bench.SCAN_MS) {
          bench.scan();
        }
      }
      case "local" -> bench.press();
      case "part" -> {
        boolean begins = words[1].equals("begins");
        assertThat(!begins || bench.port.mayStart()).as(what).isTrue();
        cuts = begins;
        bench.atStart(!begins).scan();
      }
      default -> throw new IllegalArgumentException("no such step: " + what);
    }
  }

  private static int milliseconds(String seconds) {
    return new BigDecimal(seconds).movePointRight(3).intValueExact();
  }

  private String row(String what) {
    String permit = bench.port.permit() ? "####" : "";
    String cell = cuts ? "cuts" : atStart();
    return String.format(Locale.ROOT, "%-29s%-8s%s", what, permit, cell);
  }

  private String atStart() {
    if (bench.port.stoppedAtStart()) {
      return "stopped";
    }
    return bench.port.mayStart() ? "may start" : "waits";
  }

  private static String resource(String name) throws IOException {
    try (InputStream in =
        Optional.ofNullable(CellDiagramsTest.class.getResourceAsStream(name + ".txt"))
            .orElseThrow()) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}
