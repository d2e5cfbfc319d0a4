package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.rules.part.StopKind.END_OF_PART;
import static org.borewarden.rules.part.StopKind.NEXT_SAFE_POINT;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Note 5 of docs/hold.md: a timed, named exception that ends by itself. */
final class BypassTest {
  private static final Instant AT = Cell4.AT;

  private static HoldInput.BypassStart minutes(HoldState s, int minutes) {
    return new HoldInput.BypassStart(s.number(), s.revision(), List.of("drift"), minutes, "vera");
  }

  @Test
  void aBypassCoversItsCausesAndCountsThemUp() {
    Cell4 cell = Cell4.in("BYP").find("drift", END_OF_PART);
    assertThat(cell.state().permitted()).isTrue();
    assertThat(cell.state().causes().get(0).count()).isEqualTo(2);
  }

  @Test
  void aNewCauseEndsABypassInItsOwnStep() {
    Cell4 cell = Cell4.in("BYP");
    int number = cell.state().number();
    cell.find("size", NEXT_SAFE_POINT);
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.state().kind()).contains(NEXT_SAFE_POINT);
    assertThat(cell.state().number()).isGreaterThan(number);
  }

  @Test
  void aCoveredFindingVoidsAReleaseInFlightAndLeavesTheBypass() {
    Cell4 cell = Cell4.in("BYP").release();
    int asked = cell.last().grantPending().orElseThrow();
    cell.find("drift", END_OF_PART).take(new HoldInput.GrantSynced(asked));
    assertThat(cell.state().phase()).isEqualTo(Phase.BYPASSED);
    assertThat(cell.causes()).containsExactly("drift");
  }

  @Test
  void aLinkLossSuspendsABypassAndACoveredFindingMeanwhileDoesNotLoseIt() {
    Cell4 cell = Cell4.in("BYP").set(Cell4.LINK);
    assertThat(cell.state().permitted()).isFalse();
    cell.clear(Cell4.LINK);
    int asked = cell.last().grantPending().orElseThrow();
    cell.find("drift", END_OF_PART);
    int anew = cell.last().grantPending().orElseThrow();
    assertThat(cell.take(new HoldInput.GrantSynced(asked)).state().permitted()).isFalse();
    assertThat(cell.take(new HoldInput.GrantSynced(anew)).state().permitted()).isTrue();
  }

  @Test
  void aDeadJournalEndsABypass() {
    Cell4 cell = Cell4.in("BYP").set(Cell4.JOURNAL);
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.causes()).containsExactly("drift", "bypass-ended");
  }

  @Test
  void aBypassEndsByTheWallClockWhateverComesNext() {
    Cell4 cell = Cell4.in("BYP");
    Instant until = HoldMachine.bypassEnds(cell.state()).orElseThrow();
    assertThat(until).isEqualTo(AT.plus(Duration.ofMinutes(15)));
    HoldState running = cell.state();
    assertThat(
            Cell4.from(running).at(until.minusMillis(1)).take(new HoldInput.RulesRefused()).state())
        .isEqualTo(running);
    Cell4 over = Cell4.from(running).at(until).take(new HoldInput.RulesRefused());
    assertThat(over.state().permitted()).isFalse();
    assertThat(over.causes()).containsExactly("drift", "bypass-ended");
  }

  @Test
  void aBypassWhoseRecordComesAfterItsEndIsNotGiven() {
    Cell4 cell = Cell4.in("REQ").bypass("drift").at(AT.plus(Duration.ofMinutes(15))).sync();
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.state().grant()).isEmpty();
  }

  @Test
  void aBypassThatIsEndedBeforeItsRecordIsSyncedIsNotGiven() {
    Cell4 cell = Cell4.in("REQ").bypass("drift");
    int asked = cell.last().grantPending().orElseThrow();
    cell.take(new HoldInput.BypassEnd("vera")).take(new HoldInput.GrantSynced(asked));
    assertThat(cell.state().permitted()).isFalse();
  }

  @Test
  void minutesAreOneToSixty() {
    HoldState held = Cell4.in("REQ").state();
    for (int bad : List.of(-1, 0, Bypass.MAX_MINUTES + 1)) {
      assertThat(Cell4.from(held).take(minutes(held, bad)).code())
          .as("%s", bad)
          .contains(AnswerCode.OVER_LIMIT);
    }
    for (int good : List.of(1, Bypass.DEFAULT_MINUTES, Bypass.MAX_MINUTES)) {
      assertThat(Cell4.from(held).take(minutes(held, good)).code())
          .as("%s", good)
          .contains(AnswerCode.ACCEPTED);
    }
  }

  @Test
  void aFourthBypassInAShiftIsRefusedAndAllowedAgainWhenTheFirstIsAShiftAgo() {
    Cell4 cell = Cell4.in("REQ");
    for (int i = 0; i < Bypass.MAX_PER_SHIFT; i++) {
      cell.take(Cell4.bypassOf(cell.state())).sync();
      assertThat(cell.state().phase()).as("bypass %s", i).isEqualTo(Phase.BYPASSED);
      cell.take(new HoldInput.BypassEnd("vera"));
    }
    cell.take(Cell4.bypassOf(cell.state()));
    assertThat(cell.code()).contains(AnswerCode.OVER_LIMIT);
    assertThat(cell.last().changed()).isFalse();
    cell.at(AT.plus(Bypass.SHIFT).plusMillis(1)).take(Cell4.bypassOf(cell.state()));
    assertThat(cell.code()).contains(AnswerCode.ACCEPTED);
  }

  @Test
  void aBypassMustNameEveryCauseThatStandsAndNoOther() {
    Cell4 two = Cell4.in("REQ").find("size", END_OF_PART);
    HoldState state = two.state();
    assertThat(Cell4.from(state).bypass("drift").code()).contains(AnswerCode.SUPERSEDED);
    assertThat(Cell4.from(state).bypass("drift", "size", "form").code())
        .contains(AnswerCode.NOTHING_HELD);
    assertThat(Cell4.from(state).bypass("size", "drift").code()).contains(AnswerCode.ACCEPTED);
  }

  @Test
  void aBypassGivesNoPermitWhileAConditionStands() {
    Cell4 cell = Cell4.in("NRY").bypass().sync();
    assertThat(cell.state().phase()).isEqualTo(Phase.BYPASSED);
    assertThat(cell.state().permitted()).isFalse();
    cell.clear(Cell4.OTHER);
    assertThat(cell.state().permitted()).as("its end is not synced").isFalse();
    assertThat(cell.sync().state().permitted()).isTrue();
  }

  @Test
  void aConditionThatEndsWhileABypassIsWrittenMustBeSyncedToo() {
    Cell4 cell = Cell4.in("NRY").bypass();
    int asked = cell.last().grantPending().orElseThrow();
    cell.clear(Cell4.OTHER);
    int both = cell.last().grantPending().orElseThrow();
    assertThat(cell.take(new HoldInput.GrantSynced(asked)).state().permitted()).isFalse();
    assertThat(cell.take(new HoldInput.GrantSynced(both)).state().permitted()).isTrue();
    assertThat(cell.state().phase()).isEqualTo(Phase.BYPASSED);
  }

  @Test
  void aBypassCannotBeRecordedWithoutAJournal() {
    Cell4 cell = Cell4.in("REQ").set(Cell4.JOURNAL).bypass("drift");
    assertThat(cell.code()).contains(AnswerCode.NOT_RECORDED);
    assertThat(cell.last().changed()).isFalse();
  }

  @Test
  void aSecondGrantIsNotAskedForWhileOneIsInFlight() {
    Cell4 bypass = Cell4.in("REQ").bypass("drift");
    assertThat(bypass.release().code()).contains(AnswerCode.ALREADY_PENDING);
    Cell4 trial = Cell4.in("REQ").releaseOwed();
    assertThat(trial.bypass("drift").code()).contains(AnswerCode.ALREADY_PENDING);
    assertThat(Cell4.in("BYP").release().release().code()).contains(AnswerCode.ALREADY_PENDING);
  }
}
