package org.borewarden.agent.report;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.borewarden.rules.engine.CellView;
import org.borewarden.rules.engine.GaugeView;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.gauge.TruthView;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.AlertView;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RuleSet;

/** What one shift hands to the next: all that stood at the end of the span. */
final class Handover {
  /** So many days ahead a certificate is named that runs out. */
  private static final int DAYS_AHEAD = 14;

  private final Gathering gathered;
  private final Texts texts;
  private final Times times;
  private final Instant end;
  private final List<List<Cell>> rows = new ArrayList<>();

  private Handover(Gathering gathered, Texts texts) {
    this.gathered = gathered;
    this.texts = texts;
    this.times = new Times(gathered.wanted);
    // The end of the span, or the last that is known while it is not over.
    this.end = gathered.lastAt();
  }

  /** The table; without rows where nothing stands. */
  static Block.Table of(Gathering gathered, Texts texts) {
    Handover list = new Handover(gathered, texts);
    State state = gathered.state();
    for (String cell : state.cellIds()) {
      state.cellView(cell, list.end).map(CellView::hold).ifPresent(list::cell);
      state
          .holdTestDue(cell)
          .filter(due -> !due.isAfter(list.end))
          .ifPresent(due -> list.row("hold-test", cell, "", list.times.of(due)));
    }
    gathered.rings.windows().forEach(list::window);
    state.gauges().values().forEach(list::gauge);
    state.alerts().views().forEach(list::alert);
    state.rules().ifPresent(list::certificates);
    return new Block.Table(
        texts.of("handover"),
        List.of(
            texts.of("column.what"),
            texts.of("column.of"),
            texts.of("column.detail"),
            texts.of("column.since")),
        list.rows);
  }

  private void row(String kind, String of, String detail, String since) {
    rows.add(
        List.of(
            Cell.of(texts.of("handover." + kind)), Cell.of(of), Cell.of(detail), Cell.of(since)));
  }

  private void cell(HoldView hold) {
    String since = times.of(hold.since());
    if (hold.number() > 0) {
      String causes = hold.causes().stream().map(this::cause).collect(Collectors.joining("; "));
      row("hold", hold.cell() + ", " + hold.number(), causes, since);
      if (!hold.contain().isEmpty()) {
        row("contain", hold.cell(), String.join(", ", hold.contain()), since);
      }
    }
    for (Condition condition : hold.conditions()) {
      String subject = condition.subject().map(s -> ": " + s).orElse("");
      row("not-ready", hold.cell(), reason(condition.reason().key()) + subject, since);
    }
    hold.bypassUntil().ifPresent(until -> row("bypass", hold.cell(), times.of(until), since));
    if (hold.trialPartsLeft() > 0) {
      row("trial", hold.cell(), Integer.toString(hold.trialPartsLeft()), since);
    }
    if (hold.watchOnly()) {
      row("watch-only", hold.cell(), "", "");
    }
  }

  private String cause(Cause cause) {
    return reason(cause.reason().key()) + cause.feature().map(f -> " (" + f + ")").orElse("");
  }

  private String reason(String key) {
    return texts.word("reason", key);
  }

  private void window(Rings.Window window) {
    int owed = gathered.rings.owed(window).size();
    if (owed > 0) {
      String gauge = window.decision().gauge();
      row("recheck", gauge, texts.of("handover.owed", owed), times.of(window.at()));
    }
  }

  private void gauge(GaugeView gauge) {
    if (!gauge.connected()) {
      row("gauge-lost", gauge.gauge(), gauge.detail(), "");
    }
    Optional<TruthView> truth = gauge.truth();
    truth
        .map(TruthView::belief)
        .flatMap(Belief::doubt)
        .ifPresent(why -> row("gauge-doubt", gauge.gauge(), texts.word("caution", why), ""));
    if (truth.filter(TruthView::due).isPresent()) {
      String since = truth.flatMap(TruthView::checked).map(times::of).orElse("");
      row("ring-check", gauge.gauge(), "", since);
    }
  }

  private void alert(AlertView alert) {
    if (alert.state() == AlertState.NORMAL) {
      return;
    }
    String of = alert.feature().or(alert::cell).orElse(alert.key());
    String why = alert.why().map(said -> ": " + said).orElse("");
    String until = alert.until().map(u -> " " + texts.of("until", times.of(u))).orElse("");
    row(
        "alert",
        of,
        reason(alert.reason().key())
            + " - "
            + texts.of("alert." + alert.state().key())
            + until
            + why,
        times.of(alert.since()));
  }

  private void certificates(RuleSet rules) {
    LocalDate last = end.atZone(gathered.wanted.zone()).toLocalDate().plusDays(DAYS_AHEAD);
    for (Ring ring : rules.rings()) {
      ring.calibrationDue()
          .filter(day -> !LocalDate.parse(day).isAfter(last))
          .ifPresent(day -> row("calibration", ring.id(), day, ""));
    }
    for (GaugeRules gauge : rules.gauges()) {
      gauge
          .calibrationDue()
          .filter(day -> !LocalDate.parse(day).isAfter(last))
          .ifPresent(day -> row("calibration", gauge.id(), day, ""));
    }
  }
}
