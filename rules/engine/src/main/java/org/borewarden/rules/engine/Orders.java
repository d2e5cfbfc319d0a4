package org.borewarden.rules.engine;

import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.watch.SegmentCause;

/** Commands: each is answered once, and the same command again gets the same answer. */
final class Orders {
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
    Reply reply = done(work, command);
    answer(work, command, cell, reply.code(), reply.detail());
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

  private static Reply done(Work work, Command command) {
    Order order = command.order();
    if (order instanceof Order.Release release) {
      return Releases.release(work, command, release);
    }
    if (order instanceof Order.Bypass bypass) {
      return Releases.bypass(work, command, bypass);
    }
    if (order instanceof Order.Confirm confirm) {
      return SecondPerson.confirm(work, command, confirm);
    }
    if (order instanceof Order.CellTest test) {
      return CellTesting.begin(work, command, test);
    }
    if (order instanceof Order.HandOver handOver) {
      return Handover.handOver(work, handOver, Releases.by(command));
    }
    if (order instanceof Order.StepForward step) {
      return Rounds.forward(work, step, Releases.by(command));
    }
    if (order instanceof Order.StepBack step) {
      return Rounds.back(work, step);
    }
    if (order instanceof Order.WithdrawConcession withdraw) {
      return Concessions.withdraw(work, withdraw);
    }
    if (order instanceof Order.CloseBatch close) {
      return Shifts.closeBatch(work, close.cell());
    }
    if (order instanceof Order.Ask ask) {
      return Gauges.ask(work, ask);
    }
    if (order instanceof Order.SendAgain again) {
      return JournalOrders.sendAgain(work, again);
    }
    if (order instanceof Order.Reload) {
      return Reply.of(AnswerCode.ACCEPTED);
    }
    if (order instanceof Order.AdoptJournal) {
      return JournalOrders.adopt(work);
    }
    return Reply.of(ofTheHold(work, command, order));
  }

  private static AnswerCode ofTheHold(Work work, Command command, Order order) {
    if (order instanceof Order.EndBypass end) {
      return accepted(
          Holding.apply(work, end.cell(), new HoldInput.BypassEnd(Releases.by(command))));
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
      PartContext before = state.part();
      work.cells.put(context.cell(), state.withContext(context.context()));
      Bores.partAtGauge(work, context.cell());
      Rounds.partAtGauge(work, context.cell(), before);
      Shifts.partAtGauge(work, context.cell());
      return AnswerCode.ACCEPTED;
    }
    if (order instanceof Order.ToolChanged changed) {
      return segment(
          work, changed.cell(), changed.tool(), SegmentCause.TOOL_CHANGED, Optional.empty());
    }
    if (order instanceof Order.OffsetEntered offset) {
      return segment(
          work,
          offset.cell(),
          offset.tool(),
          SegmentCause.OFFSET_ENTERED,
          Optional.of(offset.diameter()));
    }
    if (order instanceof Order.Temperature temperature) {
      Warmth.said(work, temperature);
      return AnswerCode.ACCEPTED;
    }
    if (order instanceof Order.Discard discard) {
      return discard(work, discard, Releases.by(command));
    }
    if (order instanceof Order.Attribute attribute) {
      return Attributes.take(work, attribute, Releases.by(command));
    }
    if (order instanceof Order.Skip skip) {
      return Attributes.skip(work, skip, Releases.by(command));
    }
    if (order instanceof Order.NextPart next) {
      return Bores.next(work, next);
    }
    if (order instanceof Order.MeasureAgain again) {
      return Bores.again(work, again);
    }
    if (order instanceof Order.OfGauge ofGauge) {
      return Truths.ordered(work, ofGauge);
    }
    return ofAPiece(work, order, Releases.by(command));
  }

  private static AnswerCode ofAPiece(Work work, Order order, String by) {
    if (order instanceof Order.Rework rework) {
      return Pieces.rework(work, rework);
    }
    if (order instanceof Order.Challenge challenge) {
      return Pieces.challenge(work, challenge);
    }
    if (order instanceof Order.FirstOff firstOff) {
      return Shifts.asked(work, firstOff.cell()) > 0
          ? AnswerCode.ACCEPTED
          : AnswerCode.NOTHING_HELD;
    }
    if (order instanceof Order.CorrectSerial correct) {
      return Serials.correct(work, correct, by);
    }
    if (order instanceof Order.Concession concession) {
      return Concessions.grant(work, concession);
    }
    return ofAnAlert(work, order, by);
  }

  private static AnswerCode ofAnAlert(Work work, Order order, String by) {
    if (order instanceof Order.Acknowledge acknowledge) {
      return Alerts.acknowledged(work, acknowledge.alert(), by);
    }
    if (order instanceof Order.Unshelve unshelve) {
      return Alerts.unshelved(work, unshelve.alert(), by);
    }
    if (order instanceof Order.OutOfService out) {
      return Alerts.outOfService(work, out, by);
    }
    if (order instanceof Order.BackInService back) {
      return Alerts.backInService(work, back.alert(), by);
    }
    return Alerts.shelved(work, (Order.Shelve) order, by);
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
    PooledStreams.discarded(work, state.feature(), state.lastPart());
    Truths.discarded(work, state.feature(), last.seq());
    Shifts.discarded(work, state.feature(), last.seq());
    Rounds.discarded(work, state.feature());
    state
        .feature()
        .cell()
        .ifPresent(
            cell -> {
              Holding.discarded(work, cell, last.seq());
              Holding.withdrawn(work, cell, state.feature(), last.event());
            });
    work.effect(new Effect.TrendMoved(last.before().view()));
    return AnswerCode.ACCEPTED;
  }

  private static AnswerCode segment(
      Work work, String cell, Optional<String> tool, SegmentCause cause, Optional<Length> asked) {
    Set<String> begun = Segments.begin(work, cell, tool, cause, asked);
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
    Optional<AnswerCode> code = Holding.finding(work, ask.cell(), cause, Releases.by(command));
    if (test) {
      HoldTest.begin(work, ask.cell());
    }
    return accepted(code);
  }

  private static AnswerCode accepted(Optional<AnswerCode> code) {
    return code.orElse(AnswerCode.ACCEPTED);
  }
}
