package org.borewarden.rules.engine;

import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Trial;

/** The commands that can give a permit back: release and bypass. */
final class Releases {
  /** The good bores in a row that a trial must show, or all of its parts where it has fewer. */
  static final int GOOD_NEEDED = 3;

  private Releases() {}

  static Reply release(Work work, Command command, Order.Release release) {
    String cell = release.cell();
    CellState state = work.cell(cell);
    if (current(state.hold(), release.hold(), release.revision())
        && !challenged(work, cell, state, command)) {
      return Reply.of(AnswerCode.REPLAYED);
    }
    boolean unfounded = release.evidence().isEmpty() && release.trialParts().isEmpty();
    if (unfounded && command.role() == Role.QUALITY) {
      return SecondPerson.ask(work, command, cell, input(release, by(command)));
    }
    if (unfounded && command.role() == Role.SUPERVISOR) {
      return give(work, command, by(command));
    }
    boolean named = !release.evidence().isEmpty();
    Optional<Trial.Terms> trial =
        release.trialParts().isPresent() && !named && counts(state)
            ? Optional.of(terms(state, release.trialParts().getAsInt()))
            : Optional.empty();
    boolean shown = named && state.evidence().containsAll(release.evidence());
    return release(
        work,
        release,
        new HoldInput.Release(release.hold(), release.revision(), shown, trial, by(command)));
  }

  static Reply bypass(Work work, Command command, Order.Bypass bypass) {
    CellState state = work.cell(bypass.cell());
    if (current(state.hold(), bypass.hold(), bypass.revision())
        && !challenged(work, bypass.cell(), state, command)) {
      return Reply.of(AnswerCode.REPLAYED);
    }
    return command.role() == Role.QUALITY
        ? SecondPerson.ask(work, command, bypass.cell(), input(bypass, by(command)))
        : give(work, command, by(command));
  }

  /** Gives what was asked for without evidence, to whom may have it so. */
  static Reply give(Work work, Command command, String by) {
    if (command.order() instanceof Order.Release release) {
      return release(work, release, input(release, by));
    }
    Order.Bypass bypass = (Order.Bypass) command.order();
    return Reply.of(Holding.apply(work, bypass.cell(), input(bypass, by)));
  }

  private static Reply release(Work work, Order.Release release, HoldInput.Release input) {
    Reply reply = Reply.of(Holding.apply(work, release.cell(), input));
    if (reply.code() == AnswerCode.ACCEPTED || reply.code() == AnswerCode.PENDING_EVIDENCE) {
      CellState state = work.cell(release.cell());
      work.cells.put(release.cell(), state.withSaid(Optional.of(ReleaseSaid.of(release))));
    }
    return reply;
  }

  private static HoldInput.Release input(Order.Release release, String by) {
    return new HoldInput.Release(release.hold(), release.revision(), true, Optional.empty(), by);
  }

  private static HoldInput.BypassStart input(Order.Bypass bypass, String by) {
    return new HoldInput.BypassStart(
        bypass.hold(), bypass.revision(), bypass.causes(), bypass.minutes(), by);
  }

  /** An older hold or revision is refused as such, whatever it quotes; it changes nothing. */
  private static boolean current(HoldState hold, int number, int revision) {
    return hold.number() == number && hold.revision() == revision;
  }

  static boolean challenged(Work work, String cell, CellState state, Command command) {
    return command
        .challenge()
        .map(Challenges.of(work.life, cell, state.hold())::equals)
        .orElse(false);
  }

  private static boolean counts(CellState state) {
    return state.report().map(r -> r.partsFinished().isPresent()).orElse(false);
  }

  private static Trial.Terms terms(CellState state, int parts) {
    int lag = state.report().map(CellReport::partsToGauge).orElse(0);
    return new Trial.Terms(parts, lag, Math.min(GOOD_NEEDED, Math.max(1, parts)));
  }

  static String by(Command command) {
    return command.who().orElse(command.authenticatedAs());
  }
}
