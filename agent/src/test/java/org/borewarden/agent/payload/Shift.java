package org.borewarden.agent.payload;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.borewarden.rules.engine.CellPolicy;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.measure.WrittenLength;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.reading.Reading;

/** The shop that tests of the journal's bodies and of the loop work with: two cells, two gauges. */
public final class Shift {
  /** A linked cell that holds for a lost port. */
  public static final CellPolicy CELL_4 =
      new CellPolicy(
          "cell-4",
          List.of(),
          List.of(Reason.SOURCE_LOST, Reason.NOT_JUDGED),
          true,
          false,
          Duration.ofSeconds(10),
          true,
          Optional.empty(),
          Optional.empty(),
          Optional.empty());

  /** A cell with MQTT only, for which a stall is told and no more. */
  public static final CellPolicy CELL_5 =
      new CellPolicy(
          "cell-5",
          List.of(Reason.SOURCE_LOST),
          List.of(),
          false,
          true,
          Duration.ofSeconds(10),
          false,
          Optional.of("2026-05-04"),
          Optional.empty(),
          Optional.empty());

  private static final String SEAT_AND_BUSH =
      """
      part: housing-31
      rings:
        - {id: R50, size: 50.0010 mm, uncertainty: 0.8 um, certificate: K-50}
      gauges:
        - id: bore-3
          head: two-point
          resolution: 1 um
          repeatability: 0.6 um
          ring-check: {ring: R50, error-limit: 2 um, readings: 2, every-bores: 10, every: 8 h}
      features:
        - id: sleeve
          gauge: bore-3
          cell: cell-5
          nominal: 50 mm
          upper: +0.025 mm
          lower: 0
          plan: {angles: [0, 90], form: {ovality: 9 um, repeatability: 0.6 um}}
          confirm: {span: 3 um, gross: 9 um}
        - id: bearing-seat
          gauge: bore-1
          cell: cell-4
          tool: 7
          nominal: 62.000 mm
          upper: +0.030 mm
          lower: 0
          watches:
            - forecast: {hold-within: 4 parts, alert-within: 10 parts, minimum-bores: 5}
            - run-on-one-side: {bores: 5, action: hold}
        - id: bush
          gauge: bore-2
          cell: cell-5
          size: 40 H7
      """;

  private static final String SEAT_ONLY =
      """
      part: housing-31
      features:
        - {id: bearing-seat, gauge: bore-1, cell: cell-4, nominal: 62 mm, upper: +0.030 mm, lower: 0}
      """;

  /** Three features: with watches, with neither, and with a plan and a gauge that is checked. */
  public static final RuleSet RULES = read(SEAT_AND_BUSH);

  /** One feature. */
  public static final RuleSet FEWER = read(SEAT_ONLY);

  private static final Map<String, RuleSet> KEPT =
      new TreeMap<>(Map.of(RULES.revision(), RULES, FEWER.revision(), FEWER));

  private static final Map<String, String> TEXTS =
      new TreeMap<>(Map.of(RULES.revision(), SEAT_AND_BUSH, FEWER.revision(), SEAT_ONLY));

  private Shift() {}

  /** The texts of the rules, by revision, as the journal keeps them. */
  public static Map<String, String> texts() {
    return new TreeMap<>(TEXTS);
  }

  /** The rules of a revision, as the journal's texts would give them. */
  public static RuleSet kept(String revision) {
    RuleSet rules = KEPT.get(revision);
    if (rules == null) {
      throw new IllegalArgumentException("no text of revision " + revision);
    }
    return rules;
  }

  public static Event.AgentStarted started(int boot, boolean clean) {
    return new Event.AgentStarted(
        "0.1.0",
        boot,
        "nonce-" + boot,
        clean,
        List.of(CELL_4, CELL_5),
        List.of(
            new Event.Port("port-a", List.of("bore-1")),
            new Event.Port("port-b", List.of("bore-2", "bore-3"))));
  }

  public static Event port(String port, boolean open) {
    return new Event.SourceChanged(
        port,
        port.equals("port-a") ? List.of("bore-1") : List.of("bore-2", "bore-3"),
        open,
        open ? "open" : "gone");
  }

  /** A reading of a gauge, such as {@code 62.010 mm}. */
  public static Event bore(String gauge, String size) {
    if (LengthText.parse(size) instanceof Parsed.Ok<WrittenLength> ok) {
      String digits = size.split(" ", -1)[0];
      int decimals = digits.contains(".") ? digits.length() - 1 - digits.indexOf('.') : 0;
      return reading(gauge, ok.value().length(), unit(size), decimals);
    }
    throw new IllegalArgumentException(size);
  }

  static Event reading(String gauge, Length value, Unit unit, int decimals) {
    return new Event.ReadingTaken(
        new Reading(gauge, value, unit, decimals, Optional.empty(), Optional.empty()));
  }

  private static Unit unit(String size) {
    String symbol = size.split(" ", -1)[1];
    for (Unit unit : Unit.values()) {
      if (unit.symbol().equals(symbol)) {
        return unit;
      }
    }
    throw new IllegalArgumentException(size);
  }

  /** Rules from text. */
  public static RuleSet read(String text) {
    if (RulesFile.read("rules.yaml", text) instanceof Outcome.Good<RulesResult> good) {
      return good.value().rules();
    }
    throw new IllegalArgumentException(RulesFile.read("rules.yaml", text).toString());
  }
}
