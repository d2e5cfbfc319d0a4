package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;

/**
 * The test that walks every bit of the registers toward a cell. It runs only while the cell says
 * that it is in test mode, withholds the permit as a condition while it runs, and ends by itself.
 */
final class CellTesting {
  static final String TIMER = "cell-test:";

  /** The longest walk. At four beats a second the usual one takes under two minutes. */
  static final Duration LONGEST = Duration.ofMinutes(10);

  /** How long the output may take to tell how far it came. */
  static final Duration LAST_WORDS = Duration.ofSeconds(5);

  private static final Condition TESTED = new Condition(Reason.CELL_TEST, Optional.empty());
  private static final Condition LINK = new Condition(Reason.LINK, Optional.empty());

  private CellTesting() {}

  /**
   * A test that runs.
   *
   * @param run the seq of the command that began it
   * @param begun when
   * @param by who asked for it
   * @param authenticatedAs what was proved of him
   * @param ended why it ends, once it does; then only the last words of the output are awaited
   */
  record Running(
      long run, Instant begun, String by, String authenticatedAs, Optional<String> ended) {
    Running ending(String why) {
      return new Running(run, begun, by, authenticatedAs, Optional.of(why));
    }
  }

  static Reply begin(Work work, Command command, Order.CellTest order) {
    String cell = order.cell();
    CellState state = work.cell(cell);
    Optional<Reply> refusal = refusal(state);
    if (refusal.isPresent()) {
      return refusal.get();
    }
    work.cells.put(
        cell,
        state.withCellTest(
            Optional.of(
                new Running(
                    work.seq(),
                    work.at(),
                    Releases.by(command),
                    command.authenticatedAs(),
                    Optional.empty()))));
    work.effect(new Effect.TimerSet(TIMER + cell, LONGEST));
    Holding.apply(work, cell, new HoldInput.ConditionSet(TESTED));
    return Reply.of(AnswerCode.ACCEPTED);
  }

  private static Optional<Reply> refusal(CellState state) {
    HoldState hold = state.hold();
    String cell = state.policy().cell();
    if (!state.policy().linked()) {
      return refuse(AnswerCode.NOTHING_HELD, cell + " has no registers to walk");
    }
    if (state.cellTest().isPresent()) {
      return refuse(AnswerCode.ALREADY_PENDING, "a cell test runs");
    }
    if (hold.phase() == Phase.STARTING) {
      return refuse(AnswerCode.STARTING, "");
    }
    if (hold.phase() == Phase.TRIAL
        || hold.phase() == Phase.RELEASING
        || hold.phase() == Phase.BYPASSED) {
      return refuse(
          AnswerCode.ALREADY_PENDING, "a permit is given by a trial, a bypass or a release");
    }
    if (hold.conditions().contains(LINK)) {
      return refuse(AnswerCode.CONDITION_PRESENT, "the link to " + cell + " is lost");
    }
    return state.report().filter(CellTesting::inTestMode).isPresent()
        ? Optional.empty()
        : refuse(
            AnswerCode.CONDITION_PRESENT,
            "expected " + cell + " in test mode (B2 bit 9), not in automatic and not in cycle");
  }

  private static Optional<Reply> refuse(AnswerCode code, String detail) {
    return Optional.of(new Reply(code, detail));
  }

  private static boolean inTestMode(CellReport report) {
    return report.test() && !report.automatic() && !report.inCycle();
  }

  /** The cell's words: a cell that leaves its test mode ends the test. */
  static void heard(Work work, String cell, CellReport report) {
    if (!inTestMode(report)) {
      stop(work, cell, "the cell left its test mode");
    }
  }

  /** Ends a test that runs, in this step; how far it came is told by the output. */
  static void stop(Work work, String cell, String why) {
    Optional<Running> running = work.cellIfKnown(cell).flatMap(CellState::cellTest);
    if (running.isPresent() && running.get().ended().isEmpty()) {
      work.cells.put(cell, work.cell(cell).withCellTest(Optional.of(running.get().ending(why))));
      work.effect(new Effect.TimerSet(TIMER + cell, LAST_WORDS));
    }
  }

  static void timeOut(Work work, String cell) {
    Optional<Running> running = work.cellIfKnown(cell).flatMap(CellState::cellTest);
    if (running.isPresent() && running.get().ended().isPresent()) {
      finish(work, cell, running.get(), running.get().ended().get(), List.of());
    } else {
      stop(work, cell, "the time was up");
    }
  }

  /** The output tells what it walked. */
  static void walked(Work work, Event.CellTestWalked walked) {
    Optional<Running> running = work.cellIfKnown(walked.cell()).flatMap(CellState::cellTest);
    if (running.isEmpty() || running.get().run() != walked.run()) {
      return;
    }
    String outcome =
        running
            .get()
            .ended()
            .orElseGet(() -> walked.whole() ? verdict(walked.lines()) : "the output broke it off");
    finish(work, walked.cell(), running.get(), outcome, walked.lines());
  }

  private static String verdict(List<CellTestLine> lines) {
    return lines.stream().allMatch(CellTestLine::passed) ? Decision.CellTestEnded.PASSED : "failed";
  }

  /** A start, or a config that names the cell no more: the walk is gone with the run before. */
  static void forget(Work work, CellState before) {
    before
        .cellTest()
        .ifPresent(
            running -> {
              work.effect(new Effect.TimerCleared(TIMER + before.policy().cell()));
              decide(work, before.policy().cell(), running, "the agent was stopped", List.of());
            });
  }

  private static void finish(
      Work work, String cell, Running running, String outcome, List<CellTestLine> lines) {
    work.cells.put(cell, work.cell(cell).withCellTest(Optional.empty()));
    work.effect(new Effect.TimerCleared(TIMER + cell));
    decide(work, cell, running, outcome, lines);
    Holding.apply(work, cell, new HoldInput.ConditionCleared(TESTED));
  }

  private static void decide(
      Work work, String cell, Running running, String outcome, List<CellTestLine> lines) {
    int failed = (int) lines.stream().filter(line -> !line.passed()).count();
    work.decide(
        new Decision.CellTestEnded(
            cell,
            running.run(),
            running.begun(),
            running.by(),
            running.authenticatedAs(),
            outcome,
            lines.size() - failed,
            failed));
  }
}
