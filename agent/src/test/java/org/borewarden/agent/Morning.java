package org.borewarden.agent;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.agent.loop.ToldJournal;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.HoldView;

/**
 * A morning in cell 4 (invented): an insert wears until the forecast holds the cell, a setter
 * changes it, a chip spoils one bore, a gauge fails on its ring, and one bore in doubt is measured
 * again.
 */
final class Morning {
  /** The bores of the first insert, um above nominal: S6 of the mathematics' scenarios. */
  static final int[] WEARING = {
    21, 21, 22, 20, 17, 18, 17, 17, 14, 15, 14, 15, 13, 12, 9, 12, 7, 10, 7, 6, 5
  };

  static final int[] FRESH = {24, 23, 25, 24, 22, 24, 23, 24, 25, 24, 22, 23};

  static final String RULES =
      """
      part: housing-31
      rings:
        - {id: R62, size: 62.0010 mm, uncertainty: 0.8 um, certificate: K-62, calibration-due: 2026-05-12}
      gauges:
        - id: bore-1
          head: two-point
          resolution: 1 um
          repeatability: 0.6 um
          ring-check: {ring: R62, error-limit: 2 um, readings: 2, every-bores: 100, every: 8 h}
      features:
        - id: bearing-seat
          gauge: bore-1
          cell: cell-4
          tool: 7
          nominal: 62.000 mm
          upper: +0.030 mm
          lower: 0
          uncertainty: {U: 3 um, k: 2}
          watches:
            - forecast: {hold-within: 4 parts, alert-within: 10 parts, minimum-bores: 12}
      """;

  final ToldJournal told = new ToldJournal(Instant.parse("2026-05-05T04:02:00Z"), RULES);
  private long part;

  /** The serial that a spreadsheet would run. */
  static final String FORMULA = "=1+1";

  Morning tell() {
    ring("62.001", "62.001");
    told.order(Role.SETTER, "j-okafor", new Order.ToolChanged("cell-4", Optional.of("7")));
    for (int above : WEARING) {
      bore(above);
    }
    release();
    for (int above : FRESH) {
      bore(above);
      if (part == WEARING.length + 1) {
        told.order(
            Role.INSPECTOR,
            "m-lindqvist",
            new Order.CorrectSerial(
                "bearing-seat", Optional.empty(), "H-222", "wrong part scanned"));
      }
    }
    told.bore("bore-1", "62.029 mm", ++part, FORMULA);
    told.order(
        Role.INSPECTOR,
        "m-lindqvist",
        new Order.Discard("bearing-seat", Optional.empty(), "chip in the bore"));
    told.bore("bore-1", "62.024 mm", part, FORMULA);
    bore(5);
    told.take(new Event.FrameRejected("bore-1", "no-match", "expected a digit", 3, "6x.01", 2));
    ring("62.006", "62.006");
    told.bore("bore-1", "62.025 mm", ++part, serial(part));
    mastered();
    long doubted = part - 1;
    told.bore("bore-1", "62.004 mm", doubted, serial(doubted));
    return this;
  }

  private void bore(int above) {
    part++;
    told.bore("bore-1", "62.0" + (above < 10 ? "0" : "") + above + " mm", part, serial(part));
  }

  static String serial(long part) {
    return "H-" + (100 + part);
  }

  private void ring(String... sizes) {
    told.pass(Duration.ofMinutes(1));
    told.order(Role.INSPECTOR, "m-lindqvist", new Order.RingCheck("bore-1", Optional.empty()));
    for (String size : sizes) {
      told.pass(Duration.ofSeconds(20));
      told.take(Shift.bore("bore-1", size + " mm"));
    }
  }

  private void mastered() {
    told.pass(Duration.ofMinutes(2));
    told.order(Role.SETTER, "j-okafor", new Order.Mastered("bore-1", Optional.empty()));
    for (int i = 0; i < 2; i++) {
      told.pass(Duration.ofSeconds(20));
      told.take(Shift.bore("bore-1", "62.001 mm"));
    }
  }

  private void release() {
    told.pass(Duration.ofMinutes(6));
    told.order(Role.SETTER, "j-okafor", new Order.ToolChanged("cell-4", Optional.of("7")));
    told.pass(Duration.ofMinutes(1));
    HoldView hold = told.hold().orElseThrow();
    told.order(
        Role.SUPERVISOR,
        "k-berg",
        new Order.Release(
            "cell-4",
            hold.number(),
            hold.revision(),
            "tool-changed",
            "yes",
            List.of(),
            Optional.of("measured"),
            OptionalInt.empty()));
  }
}
