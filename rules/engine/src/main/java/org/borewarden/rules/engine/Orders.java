package org.borewarden.rules.engine;

import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.hold.Trial;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.watch.SegmentCause;

/** Commands: each is answered once, and the same command again gets the same answer. */
final class Orders {
  /** The good bores in a row that a trial must show, or all of its parts where it has fewer. */
  static final int GOOD_NEEDED = 3;

  private Orders() {}

  static void take(Work work, Command command) {
    Optional<Decision.CommandAnswered> before = work.commands.to(command.id());
    if (before.isPresent()) {
      work.decide(before.get());
      return;
    }
    Optional<String> cell =
        command.order() instanceof Order.OfCell ofCell
            ? Optional.of(ofCell.cell())
            : Optional.empty();
    if (cell.isPresent() && !work.cells.containsKey(cell.get())) {
      answer(work, command, cell, AnswerCode.MALFORMED, "no such cell: " + cell.get());
      return;
    }
    AnswerCode code = done(work, command);
    answer(work, command, cell, code, "");
  }

  private static void answer(
      Work work, Command command, Optional<String> cell, AnswerCode code, String detail) {
    Optional<HoldState> hold = cell.map(work.cells::get).map(CellState::hold);
    Decision.CommandAnswered answered =
        new Decision.CommandAnswered(
            command.id(),
            code,
            cell,
            hold.map(HoldState::number).orElse(0),
            hold.map(HoldState::revision).orElse(0),
            detail);
    work.commands = work.commands.with(answered, work.at());
    work.decide(answered);
  }

  private static AnswerCode done(Work work, Command command) {
    Order order = command.order();
    if (order instanceof Order.Release release) {
      return release(work, command, release);
    }
    if (order instanceof Order.Bypass bypass) {
      return bypass(work, command, bypass);
    }
    if (order instanceof Order.EndBypass end) {
      return accepted(Holding.apply(work, end.cell(), new HoldInput.BypassEnd(by(command))));
    }
    if (order instanceof Order.AskHold ask) {
      return askHold(work, command, ask);
    }
    if (order instanceof Order.Heard heard) {
      return accepted(
          Holding.apply(work, heard.cell(), new HoldInput.CellAck(heard.hold(), heard.kind())));
    }
    if (order instanceof Order.Stopped stopped) {
      return accepted(Holding.apply(work, stopped.cell(), new HoldInput.CellStopped()));
    }
    return ofTheShift(work, command, order);
  }

  private static AnswerCode ofTheShift(Work work, Command command, Order order) {
    if (order instanceof Order.Context context) {
      CellState state = work.cell(context.cell());
      work.cells.put(context.cell(), state.withContext(context.context()));
      return AnswerCode.ACCEPTED;
    }
    if (order instanceof Order.ToolChanged changed) {
      return segment(work, changed.cell(), changed.tool(), SegmentCause.TOOL_CHANGED);
    }
    if (order instanceof Order.OffsetEntered offset) {
      return segment(work, offset.cell(), offset.tool(), SegmentCause.OFFSET_ENTERED);
    }
    if (order instanceof Order.Temperature temperature) {
      Warmth.said(work, temperature);
      return AnswerCode.ACCEPTED;
    }
    if (order instanceof Order.Discard discard) {
      return discard(work, discard, by(command));
    }
    if (order instanceof Order.Acknowledge acknowledge) {
      return Alerts.acknowledged(work, acknowledge.alert(), by(command));
    }
    Order.Shelve shelve = (Order.Shelve) order;
    return Alerts.shelved(work, shelve, by(command));
  }

  /**
   * Takes back the last bore of a feature: kept, marked, out of its streams. Never lifts a hold.
   */
  private static AnswerCode discard(Work work, Order.Discard discard, String by) {
    FeatureState state = work.features.get(discard.feature());
    if (state == null || state.last().isEmpty()) {
      return AnswerCode.NOTHING_HELD;
    }
    FeatureState.Last last = state.last().get();
    if (discard.seq().isPresent() && discard.seq().get() != last.seq()) {
      return AnswerCode.OVER_LIMIT;
    }
    work.decide(new Decision.BoreDiscarded(discard.feature(), last.seq(), discard.reason(), by));
    work.features.put(discard.feature(), last.before());
    Set<String> raised = Segments.standing(state);
    raised.removeAll(Segments.standing(last.before()));
    raised.forEach(key -> Alerts.returned(work, key));
    state.feature().cell().ifPresent(cell -> Holding.discarded(work, cell, last.seq()));
    work.effect(new Effect.TrendMoved(last.before().view()));
    return AnswerCode.ACCEPTED;
  }

  private static AnswerCode segment(
      Work work, String cell, Optional<String> tool, SegmentCause cause) {
    Set<String> begun = Segments.begin(work, cell, tool, cause);
    // The person knows the seq of the answer, which comes next.
    Holding.evidence(work, cell, begun, work.nextSeq());
    return AnswerCode.ACCEPTED;
  }

  private static AnswerCode askHold(Work work, Command command, Order.AskHold ask) {
    boolean test = ask.reason().equals(HoldTest.REASON);
    Optional<AnswerCode> refused =
        test ? HoldTest.refused(work.cell(ask.cell()).hold()) : Optional.empty();
    if (refused.isPresent()) {
      return refused.get();
    }
    Cause cause =
        new Cause(
            Reason.ASKED.key(),
            Reason.ASKED,
            Optional.empty(),
            StopKind.END_OF_PART,
            work.seq(),
            1);
    Optional<AnswerCode> code = Holding.finding(work, ask.cell(), cause, by(command));
    if (test) {
      HoldTest.begin(work, ask.cell());
    }
    return accepted(code);
  }

  private static AnswerCode release(Work work, Command command, Order.Release release) {
    CellState state = work.cell(release.cell());
    if (current(state.hold(), release.hold(), release.revision())
        && !challenged(work, release.cell(), state, command)) {
      return AnswerCode.REPLAYED;
    }
    boolean named = !release.evidence().isEmpty();
    boolean asksTrial = release.trialParts().isPresent();
    Optional<Trial.Terms> trial =
        asksTrial && !named && counts(state)
            ? Optional.of(terms(state, release.trialParts().getAsInt()))
            : Optional.empty();
    boolean shown = named && state.evidence().containsAll(release.evidence());
    boolean needsNone = !named && !asksTrial && mayReleaseWithoutEvidence(command);
    return accepted(
        Holding.apply(
            work,
            release.cell(),
            new HoldInput.Release(
                release.hold(), release.revision(), shown || needsNone, trial, by(command))));
  }

  private static AnswerCode bypass(Work work, Command command, Order.Bypass bypass) {
    CellState state = work.cell(bypass.cell());
    if (current(state.hold(), bypass.hold(), bypass.revision())
        && !challenged(work, bypass.cell(), state, command)) {
      return AnswerCode.REPLAYED;
    }
    return accepted(
        Holding.apply(
            work,
            bypass.cell(),
            new HoldInput.BypassStart(
                bypass.hold(), bypass.revision(), bypass.causes(), bypass.minutes(), by(command))));
  }

  /** An older hold or revision is refused as such, whatever it quotes; it changes nothing. */
  private static boolean current(HoldState hold, int number, int revision) {
    return hold.number() == number && hold.revision() == revision;
  }

  private static boolean challenged(Work work, String cell, CellState state, Command command) {
    return command
        .challenge()
        .map(Challenges.of(work.life, cell, state.hold())::equals)
        .orElse(false);
  }

  private static boolean mayReleaseWithoutEvidence(Command command) {
    return command.role() == Role.SUPERVISOR || command.role() == Role.QUALITY;
  }

  private static boolean counts(CellState state) {
    return state.report().map(r -> r.partsFinished().isPresent()).orElse(false);
  }

  private static Trial.Terms terms(CellState state, int parts) {
    int lag = state.report().map(CellReport::partsToGauge).orElse(0);
    return new Trial.Terms(parts, lag, Math.min(GOOD_NEEDED, Math.max(1, parts)));
  }

  private static AnswerCode accepted(Optional<AnswerCode> code) {
    return code.orElse(AnswerCode.ACCEPTED);
  }

  private static String by(Command command) {
    return command.who().orElse(command.authenticatedAs());
  }
}
