package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A cell test as the rules see it: when it may begin, what it withholds, and how it ends. */
class CellTestingTest {
  private static final String CELL = "cell-4";
  private static final Instant AT = Instant.parse("2026-05-04T08:00:00Z");
  private static final List<CellTestLine> GOOD =
      List.of(new CellTestLine("A5 bit 0", "0x0001", "0x0001", true, 20));
  private static final List<CellTestLine> BAD =
      List.of(
          new CellTestLine("A5 bit 0", "0x0001", "0x0001", true, 20),
          new CellTestLine("A5 bit 1", "0x0002", "0x0000", false, 40));

  private final List<Decision> decided = new ArrayList<>();
  private final List<Effect> effects = new ArrayList<>();
  private State state = State.initial();
  private long seq = 1;
  private int commands;

  @BeforeEach
  void start() {
    started(Optional.of(CELL), 1);
    take(new Event.LinkChanged(CELL, true, ""));
    take(new Event.RulesLoaded(new RuleSet("0123456789ab", List.of())));
    synced();
    assertThat(hold().permitted()).isTrue();
  }

  @Test
  void itBeginsOnlyWhereTheCellSaysThatItIsInTestMode() {
    assertThat(test()).isEqualTo(AnswerCode.CONDITION_PRESENT);
    take(report(false, false));
    assertThat(test()).isEqualTo(AnswerCode.CONDITION_PRESENT);
    take(report(true, true));
    assertThat(test()).as("in cycle").isEqualTo(AnswerCode.CONDITION_PRESENT);
    assertThat(hold().permitted()).as("a refusal changes nothing").isTrue();
    take(report(true, false));
    take(new Event.LinkChanged(CELL, false, ""));
    assertThat(test()).as("without a link").isEqualTo(AnswerCode.CONDITION_PRESENT);
    take(new Event.LinkChanged(CELL, true, ""));
    synced();
    assertThat(test()).isEqualTo(AnswerCode.ACCEPTED);
    assertThat(test()).as("one at a time").isEqualTo(AnswerCode.ALREADY_PENDING);
  }

  @Test
  void itTakesThePermitInItsOwnStepAndGivesItBackWithTheRecordOfItsEnd() {
    long run = running();
    assertThat(hold().permitted()).isFalse();
    assertThat(hold().phase()).isEqualTo(Phase.NOT_READY);
    assertThat(hold().conditions()).extracting(c -> c.reason()).containsExactly(Reason.CELL_TEST);
    assertThat(view().testRun()).isEqualTo(run);

    take(new Event.CellTestWalked(CELL, run, true, GOOD));

    assertThat(view().testRun()).isZero();
    assertThat(ended()).isEqualTo(ended(run, "passed", 1, 0));
    assertThat(hold().permitted()).as("before its record is synced").isFalse();
    synced();
    assertThat(hold().permitted()).isTrue();
  }

  @Test
  void oneStepThatFailsFailsIt() {
    long run = running();
    take(new Event.CellTestWalked(CELL, run, true, BAD));
    assertThat(ended()).isEqualTo(ended(run, "failed", 1, 1));
  }

  @Test
  void aCellThatLeavesItsTestModeEndsIt() {
    long run = running();
    take(report(false, false));
    assertThat(view().testRun()).as("in the same step").isZero();
    assertThat(hold().permitted()).isFalse();
    take(new Event.CellTestWalked(CELL, run, false, GOOD));
    assertThat(ended()).isEqualTo(ended(run, "the cell left its test mode", 1, 0));
    synced();
    assertThat(hold().permitted()).isTrue();
  }

  @Test
  void aFindingEndsItAndHolds() {
    long run = running();
    order(Role.SETTER, new Order.AskHold(CELL, "looks wrong"));
    assertThat(view().testRun()).isZero();
    take(new Event.CellTestWalked(CELL, run, false, GOOD));
    assertThat(ended()).isEqualTo(ended(run, "a hold was raised: asked", 1, 0));
    synced();
    assertThat(hold().phase()).isEqualTo(Phase.REQUESTED);
  }

  @Test
  void aLostLinkEndsIt() {
    long run = running();
    take(new Event.LinkChanged(CELL, false, ""));
    take(new Event.CellTestWalked(CELL, run, false, List.of()));
    assertThat(ended()).isEqualTo(ended(run, "the link to the cell was lost", 0, 0));
  }

  @Test
  void itEndsByItsTimeAndWithoutLastWordsBySomeMore() {
    long run = running();
    assertThat(effects).contains(new Effect.TimerSet("cell-test:cell-4", CellTesting.LONGEST));
    take(new Event.TimerFired("cell-test:cell-4"));
    assertThat(view().testRun()).isZero();
    assertThat(effects).contains(new Effect.TimerSet("cell-test:cell-4", CellTesting.LAST_WORDS));
    take(new Event.TimerFired("cell-test:cell-4"));
    assertThat(ended()).isEqualTo(ended(run, "the time was up", 0, 0));
    take(new Event.CellTestWalked(CELL, run, true, GOOD));
    assertThat(decided.stream().filter(Decision.CellTestEnded.class::isInstance))
        .as("it ends once")
        .hasSize(1);
  }

  @Test
  void aStartForgetsItAndSaysSo() {
    long run = running();
    started(Optional.of(CELL), 2);
    assertThat(ended()).isEqualTo(ended(run, "the agent was stopped", 0, 0));
    assertThat(view().testRun()).isZero();
    assertThat(hold().conditions()).extracting(c -> c.reason()).containsExactly(Reason.LINK);
  }

  @Test
  void wordsAboutAnotherRunChangeNothing() {
    long run = running();
    take(new Event.CellTestWalked(CELL, run - 1, true, GOOD));
    take(new Event.CellTestWalked("cell-9", run, true, GOOD));
    assertThat(view().testRun()).isEqualTo(run);
  }

  private long running() {
    take(report(true, false));
    long run = seq;
    assertThat(test()).isEqualTo(AnswerCode.ACCEPTED);
    return run;
  }

  private AnswerCode test() {
    return order(Role.IT, new Order.CellTest(CELL));
  }

  private AnswerCode order(Role role, Order order) {
    take(
        new Event.CommandGiven(
            new Command(
                "c" + ++commands,
                role,
                "local:root",
                Optional.of("k-berg"),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                order)));
    return decided.stream()
        .filter(Decision.CommandAnswered.class::isInstance)
        .map(Decision.CommandAnswered.class::cast)
        .reduce((first, second) -> second)
        .orElseThrow()
        .code();
  }

  private static Decision ended(long run, String outcome, int passed, int failed) {
    return new Decision.CellTestEnded(
        CELL, run, AT, "k-berg", "local:root", outcome, passed, failed);
  }

  private Decision ended() {
    return decided.stream()
        .filter(Decision.CellTestEnded.class::isInstance)
        .reduce((first, second) -> second)
        .orElseThrow();
  }

  private static Event report(boolean test, boolean inCycle) {
    return new Event.CellReported(
        CELL,
        new CellReport(
            false,
            inCycle,
            false,
            false,
            false,
            false,
            true,
            false,
            test,
            0,
            Optional.empty(),
            OptionalInt.of(1),
            Optional.empty(),
            0,
            PartContext.NONE));
  }

  private void started(Optional<String> cell, int boot) {
    List<CellPolicy> policies =
        cell.stream()
            .map(
                id ->
                    new CellPolicy(
                        id,
                        List.of(),
                        List.of(),
                        true,
                        false,
                        Duration.ofSeconds(10),
                        false,
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty()))
            .toList();
    take(new Event.AgentStarted("0.1.0", boot, "nonce", true, policies, List.of()));
  }

  private HoldView hold() {
    return view().hold();
  }

  private CellView view() {
    return state.cellView(CELL, AT).orElseThrow();
  }

  private void synced() {
    take(new Event.GrantSynced(CELL, hold().revision()));
  }

  private void take(Event event) {
    Step step = Engine.step(state, new Stamped(seq, AT, event));
    state = step.next();
    seq += 1 + step.decisions().size();
    decided.addAll(step.decisions());
    effects.addAll(step.effects());
  }
}
