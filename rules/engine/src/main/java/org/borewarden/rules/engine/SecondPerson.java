package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldMachine;
import org.borewarden.rules.hold.HoldState;

/**
 * Two persons for what one may not do alone: the first asks, a second one confirms. They must be
 * two by what was proved of them and by who they say they are, and both must have seen the same
 * revision of the hold.
 */
final class SecondPerson {
  static final String TIMER = "second-person:";

  private SecondPerson() {}

  /**
   * What one person asked for.
   *
   * @param first the first person's command
   * @param hold the hold's number then
   * @param revision the hold's revision then; another one voids it
   * @param until when it lapses
   */
  record Asked(Command first, int hold, int revision, Instant until) {}

  /** Takes the first person's word, if what he asks for could be done now. */
  static Reply ask(Work work, Command first, String cell, HoldInput wanted) {
    CellState state = work.cell(cell);
    Optional<Duration> within = state.policy().twoPersonsWithin();
    if (within.isEmpty()) {
      return new Reply(AnswerCode.NO_RIGHT, "no second person may confirm here");
    }
    HoldState hold = state.hold();
    AnswerCode would =
        HoldMachine.step(hold, wanted, work.seq(), work.at()).code().orElse(AnswerCode.ACCEPTED);
    if (would != AnswerCode.ACCEPTED) {
      return Reply.of(would);
    }
    if (state.asked().isPresent()) {
      return new Reply(
          AnswerCode.ALREADY_PENDING, "command " + state.asked().get().first().id() + " waits");
    }
    Instant until = work.at().plus(within.get());
    work.cells.put(
        cell,
        state.withAsked(Optional.of(new Asked(first, hold.number(), hold.revision(), until))));
    work.effect(new Effect.TimerSet(TIMER + cell, within.get()));
    Alerts.secondPerson(
        work,
        cell,
        Releases.by(first)
            + " asks for "
            + (first.order() instanceof Order.Bypass ? "a bypass" : "a release without evidence")
            + " of hold "
            + hold.number()
            + " of "
            + cell
            + "; until "
            + until
            + " a second person may confirm command "
            + first.id());
    return new Reply(
        AnswerCode.PENDING_SECOND_PERSON, "a second person must confirm it until " + until);
  }

  /** Takes the second person's word and does what the first one asked for. */
  static Reply confirm(Work work, Command second, Order.Confirm confirm) {
    String cell = confirm.cell();
    CellState state = work.cell(cell);
    if (state.asked().isEmpty()) {
      return new Reply(AnswerCode.NOTHING_HELD, "nothing waits for a second person");
    }
    Asked asked = state.asked().get();
    if (!asked.first().id().equals(confirm.command())
        || asked.hold() != confirm.hold()
        || asked.revision() != confirm.revision()) {
      return new Reply(AnswerCode.SUPERSEDED, "what waits is command " + asked.first().id());
    }
    if (!Releases.challenged(work, cell, state, second)) {
      return Reply.of(AnswerCode.REPLAYED);
    }
    if (same(asked.first(), second)) {
      return new Reply(
          AnswerCode.NO_RIGHT,
          "expected another person than " + Releases.by(asked.first()) + ", proved as another");
    }
    end(work, cell, Optional.of(Releases.by(second)));
    return Releases.give(
        work, asked.first(), Releases.by(asked.first()) + " and " + Releases.by(second));
  }

  /** One person under two names, or with two keys, is still one. */
  private static boolean same(Command first, Command second) {
    return first.authenticatedAs().equals(second.authenticatedAs())
        || Releases.by(first).equals(Releases.by(second));
  }

  /** A hold that changed: what was asked for was about what then stood. */
  static void look(Work work, String cell, HoldState is) {
    work.cellIfKnown(cell)
        .flatMap(CellState::asked)
        .filter(asked -> asked.hold() != is.number() || asked.revision() != is.revision())
        .ifPresent(asked -> end(work, cell, Optional.empty()));
  }

  static void expired(Work work, String cell) {
    if (work.cellIfKnown(cell).flatMap(CellState::asked).isPresent()) {
      end(work, cell, Optional.empty());
    }
  }

  /** The config names the cell no more. */
  static void forget(Work work, CellState state) {
    String cell = state.policy().cell();
    if (state.asked().isPresent()) {
      work.retired.put(cell, state.withAsked(Optional.empty()));
      work.effect(new Effect.TimerCleared(TIMER + cell));
      Alerts.secondPersonGone(work, cell, Optional.empty());
    }
  }

  private static void end(Work work, String cell, Optional<String> confirmedBy) {
    work.cells.put(cell, work.cell(cell).withAsked(Optional.empty()));
    work.effect(new Effect.TimerCleared(TIMER + cell));
    Alerts.secondPersonGone(work, cell, confirmedBy);
  }
}
