package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.rules.part.StopKind.END_OF_PART;
import static org.borewarden.rules.part.StopKind.NEXT_SAFE_POINT;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** The order of things and the notes of docs/hold.md, as sentences. */
final class HoldRulesTest {

  // --- order of things -----------------------------------------------------------------------

  @Test
  void aFindingTakesThePermitInItsOwnStepBeforeAnyCommit() {
    Cell4 cell = Cell4.in("RUN").find("size", END_OF_PART);
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.last().grantPending()).isEmpty();
  }

  @Test
  void onlyAReleaseClearsAHold() {
    Cell4 held = Cell4.in("ACK");
    HoldState state = held.state();
    for (HoldInput input : everythingButARelease(state)) {
      Cell4 after = Cell4.from(state).take(input).sync().sync();
      assertThat(after.causes()).as("%s", input).contains("drift");
      assertThat(after.state().number()).as("%s", input).isPositive();
    }
    assertThat(held.release().sync().causes()).isEmpty();
  }

  private static List<HoldInput> everythingButARelease(HoldState state) {
    return TableInputs.ROWS.values().stream()
        .map(row -> row.apply(state))
        .filter(input -> !(input instanceof HoldInput.Release))
        .toList();
  }

  @Test
  void aDiscardAToolChangeOrAnOffsetNeverLiftsAHoldBecauseThereIsNoSuchInput() {
    List<String> inputs =
        Arrays.stream(HoldInput.class.getDeclaredClasses())
            .map(c -> c.getSimpleName().toLowerCase(Locale.ROOT))
            .toList();
    assertThat(inputs).isNotEmpty();
    assertThat(inputs).noneMatch(n -> n.contains("discard") || n.contains("tool"));
    assertThat(inputs).noneMatch(n -> n.contains("offset"));
  }

  @Test
  void aFurtherCauseVoidsARelease() {
    Cell4 cell = Cell4.in("RLW");
    int asked = cell.state().revision();
    cell.find("size", END_OF_PART).take(new HoldInput.GrantSynced(asked));
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.causes()).containsExactly("drift", "size");
  }

  @Test
  void aConditionVoidsABypassInFlight() {
    Cell4 cell = Cell4.in("REQ").bypass("drift");
    int asked = cell.last().grantPending().orElseThrow();
    cell.set(Cell4.JOURNAL).take(new HoldInput.GrantSynced(asked));
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.clear(Cell4.JOURNAL).sync().state().permitted()).isFalse();
  }

  @Test
  void aRepeatedFindingCountsUpAndKeepsTheRevisionOfALatchedHold() {
    for (String code : List.of("REQ", "ACK")) {
      Cell4 cell = Cell4.in(code);
      int revision = cell.state().revision();
      cell.find("drift", END_OF_PART);
      assertThat(cell.state().revision()).as(code).isEqualTo(revision);
      assertThat(cell.state().causes().get(0).count()).as(code).isEqualTo(2);
      assertThat(cell.state().phase()).as(code).isEqualTo(Cell4.phase(code));
    }
  }

  @Test
  void aRepeatedFindingVoidsAReleaseAndItsRevisionIsNeverUsedAgain() {
    Cell4 cell = Cell4.in("RLW");
    int first = cell.state().revision();
    cell.find("drift", END_OF_PART);
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    int second = cell.release().last().grantPending().orElseThrow();
    assertThat(second).isGreaterThan(first);
    cell.take(new HoldInput.GrantSynced(first));
    assertThat(cell.state().permitted()).as("the older record gives nothing").isFalse();
    cell.take(new HoldInput.GrantSynced(second));
    assertThat(cell.state().permitted()).isTrue();
  }

  @Test
  void theLastConditionGoneGivesThePermitOnlyWithItsSyncedRecord() {
    Cell4 cell = Cell4.in("NRY").set(Cell4.LINK).clear(Cell4.OTHER);
    assertThat(cell.last().grantPending()).as("one still stands").isEmpty();
    cell.clear(Cell4.LINK);
    int asked = cell.last().grantPending().orElseThrow();
    assertThat(cell.state().permitted()).isFalse();
    cell.set(Cell4.LINK).take(new HoldInput.GrantSynced(asked));
    assertThat(cell.state().permitted()).as("set again meanwhile").isFalse();
    assertThat(cell.clear(Cell4.LINK).sync().state().permitted()).isTrue();
  }

  @Test
  void aMeasureAgainThatIsRefutedGivesThePermitBackAndOneThatIsConfirmedHolds() {
    Condition again = new Condition(Reason.MEASURE_AGAIN, Optional.of("bearing-seat"));
    Cell4 waiting = Cell4.in("RUN").set(again);
    assertThat(waiting.state().permitted()).isFalse();
    assertThat(waiting.state().number()).as("nothing is latched").isZero();
    assertThat(waiting.state().kind()).contains(END_OF_PART);
    HoldState doubt = waiting.state();
    assertThat(Cell4.from(doubt).clear(again).sync().state().permitted()).isTrue();
    Cell4 confirmed = Cell4.from(doubt).find("oversize", END_OF_PART).clear(again).sync();
    assertThat(confirmed.state().phase()).isEqualTo(Phase.REQUESTED);
  }

  @Test
  void everyNewCauseAndEveryNewConditionHasARevisionOfItsOwn() {
    Cell4 cell = Cell4.in("REQ");
    int revision = cell.state().revision();
    assertThat(cell.find("size", END_OF_PART).state().revision()).isEqualTo(revision + 1);
    assertThat(cell.set(Cell4.LINK).state().revision()).isEqualTo(revision + 2);
    assertThat(cell.set(Cell4.LINK).last().changed()).as("stands already").isFalse();
    assertThat(cell.ack().state().revision()).as("an ack is no news").isEqualTo(revision + 2);
  }

  @Test
  void aHoldNumberIsNeverUsedTwice() {
    Cell4 cell = Cell4.in("REQ");
    int first = cell.state().number();
    cell.release().sync();
    assertThat(cell.state().number()).isZero();
    assertThat(cell.find("drift", END_OF_PART).state().number()).isGreaterThan(first);
  }

  @Test
  void whoGaveThePermitAndWhoWithdrewItStandsInTheView() {
    Cell4 cell = Cell4.in("REQ").at(Cell4.AT.plusSeconds(5)).release().sync();
    assertThat(cell.state().by()).isEqualTo("sam");
    assertThat(cell.state().since()).isEqualTo(Cell4.AT.plusSeconds(5));
    Cause asked = new Cause("asked", Reason.ASKED, Optional.empty(), END_OF_PART, 9, 1);
    cell.at(Cell4.AT.plusSeconds(9)).take(new HoldInput.FindingRaised(asked, "ida"));
    assertThat(cell.state().by()).isEqualTo("ida");
    assertThat(cell.state().since()).isEqualTo(Cell4.AT.plusSeconds(9));
  }

  // --- note 1: start -------------------------------------------------------------------------

  @Test
  void aConditionAtTheStartKeepsItInStartUntilItIsGoneAndSynced() {
    Cell4 cell = Cell4.in("SU").set(Cell4.LINK).take(new HoldInput.StartEvidenceFresh());
    assertThat(cell.state().phase()).isEqualTo(Phase.STARTING);
    cell.clear(Cell4.LINK);
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.sync().state().phase()).isEqualTo(Phase.PERMITTED);
  }

  @Test
  void aFindingWhileTheStartsRecordIsWrittenIsRequestedAtOnce() {
    Cell4 cell = Cell4.in("SU").take(new HoldInput.StartEvidenceFresh());
    int asked = cell.last().grantPending().orElseThrow();
    cell.find("size", END_OF_PART).take(new HoldInput.GrantSynced(asked));
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
  }

  @Test
  void aBypassOutOfAStartDoesNotStandInForItsEvidence() {
    Cell4 cell = Cell4.in("SU").bypass().sync();
    assertThat(cell.state().permitted()).isTrue();
    assertThat(cell.release().code()).contains(AnswerCode.STARTING);
    cell.take(new HoldInput.BypassEnd("vera"));
    assertThat(cell.causes()).containsExactly("bypass-ended");
    assertThat(cell.release().code()).contains(AnswerCode.STARTING);
    cell.take(new HoldInput.StartEvidenceFresh());
    assertThat(cell.release().code()).contains(AnswerCode.ACCEPTED);
  }

  // --- note 2: ack and release ---------------------------------------------------------------

  @Test
  void aFurtherCauseOfTheSameKindDoesNotVoidAnAck() {
    assertThat(Cell4.in("ACK").find("size", END_OF_PART).state().phase()).isEqualTo(Phase.HEARD);
    Cell4 safePoint = Cell4.in("REQ").find("size", NEXT_SAFE_POINT).ack();
    assertThat(safePoint.find("form", NEXT_SAFE_POINT).state().phase()).isEqualTo(Phase.HEARD);
  }

  @Test
  void aHigherKindVoidsAnAckAndALowerWordIsNoAckOfIt() {
    Cell4 cell = Cell4.in("ACK").find("size", NEXT_SAFE_POINT);
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    cell.take(new HoldInput.CellAck(cell.state().number(), END_OF_PART));
    assertThat(cell.code()).contains(AnswerCode.SUPERSEDED);
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.ack().state().phase()).isEqualTo(Phase.HEARD);
  }

  @Test
  void anAckDoesNotMakeAReleaseThatSawTheSameCausesOlder() {
    Cell4 cell = Cell4.in("REQ");
    HoldInput.Release seen = Cell4.releaseOf(cell.state());
    assertThat(cell.ack().take(seen).code()).contains(AnswerCode.ACCEPTED);
  }

  @Test
  void aReleaseThatDidNotSeeTheLastCauseIsSuperseded() {
    Cell4 cell = Cell4.in("REQ");
    HoldInput.Release seen = Cell4.releaseOf(cell.state());
    assertThat(cell.find("size", END_OF_PART).take(seen).code()).contains(AnswerCode.SUPERSEDED);
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
  }

  // --- note 3: conditions --------------------------------------------------------------------

  @Test
  void noReleaseWhileAConditionStands() {
    for (String code : List.of("REQ", "ACK", "TRY", "BYP")) {
      Cell4 cell = Cell4.in(code).set(Cell4.STALL);
      assertThat(cell.release().code()).as(code).contains(AnswerCode.CONDITION_PRESENT);
      assertThat(cell.last().changed()).as(code).isFalse();
    }
    assertThat(Cell4.in("ACK").set(Cell4.STALL).releaseOwed().code())
        .contains(AnswerCode.CONDITION_PRESENT);
  }

  @Test
  void clearingAConditionNeverClearsALatch() {
    Cell4 cell = Cell4.in("REQ").set(Cell4.LINK).clear(Cell4.LINK).sync();
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.causes()).containsExactly("drift");
  }

  // --- note 4: trial, see TrialTest ----------------------------------------------------------

  @Test
  void aReloadedRulesFileEndsATrialAndNothingElse() {
    Cell4 cell = Cell4.in("TRY").take(new HoldInput.RulesReloaded());
    assertThat(cell.causes()).containsExactly("drift", "rules-changed");
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
  }

  @Test
  void whatSpoilsTheEvidenceEndsATrialAndWhatOnlyDelaysItSuspends() {
    for (Reason ends :
        List.of(
            Reason.JOURNAL,
            Reason.GAUGE_BELIEF,
            Reason.RULES_INVALID,
            Reason.OVERRUN,
            Reason.NOT_JUDGED)) {
      Cell4 cell = Cell4.in("TRY").set(new Condition(ends, Optional.empty()));
      assertThat(cell.causes()).as("%s", ends).contains("trial-failed");
    }
    for (Reason suspends :
        List.of(Reason.LINK, Reason.STALL, Reason.SOURCE_LOST, Reason.MEASURE_AGAIN)) {
      Cell4 cell = Cell4.in("TRY").set(new Condition(suspends, Optional.empty()));
      assertThat(cell.state().phase()).as("%s", suspends).isEqualTo(Phase.TRIAL);
      assertThat(cell.state().permitted()).as("%s", suspends).isFalse();
    }
  }

  @Test
  void aReleaseOutOfATrialKeepsItsPermitAndAFindingTakesIt() {
    Cell4 cell = Cell4.in("TRY").release();
    assertThat(cell.state().phase()).isEqualTo(Phase.RELEASING);
    assertThat(cell.state().permitted()).isTrue();
    int number = cell.state().number();
    int asked = cell.state().revision();
    cell.find("size", END_OF_PART);
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.state().number()).as("the cell ran meanwhile").isGreaterThan(number);
    assertThat(cell.take(new HoldInput.GrantSynced(asked)).state().permitted()).isFalse();
  }

  // --- note 7: rules -------------------------------------------------------------------------

  @Test
  void aReloadedRulesFileLeavesLatchedCauses() {
    Cell4 cell = Cell4.in("ACK").take(new HoldInput.RulesReloaded());
    assertThat(cell.causes()).containsExactly("drift");
    assertThat(cell.last().changed()).isFalse();
  }

  // --- note 6: broker ------------------------------------------------------------------------

  @Test
  void aLostBrokerWithholdsThePermitOnlyWhereMqttIsTheOnlyOutput() {
    assertThat(Cell4.in("RUN").take(new HoldInput.BrokerLost(false)).last().changed()).isFalse();
    Cell4 only = Cell4.in("RUN").take(new HoldInput.BrokerLost(true));
    assertThat(only.state().permitted()).isFalse();
    only.take(new HoldInput.BrokerBack(true));
    assertThat(only.state().permitted()).isFalse();
    assertThat(only.sync().state().permitted()).isTrue();
  }

  // --- notes 8 and 9: the cell's words -------------------------------------------------------

  @Test
  void aHoldThatIsNotHeardInTimeRisesOnlyWhereTheRulesSaySo() {
    assertThat(Cell4.in("REQ").take(new HoldInput.AckOverdue(false)).last().changed()).isFalse();
    Cell4 escalated = Cell4.in("REQ").take(new HoldInput.AckOverdue(true));
    assertThat(escalated.state().kind()).contains(NEXT_SAFE_POINT);
    assertThat(escalated.take(new HoldInput.AckOverdue(true)).last().changed()).isFalse();
  }

  @Test
  void anEscalationVoidsATrialInFlight() {
    Cell4 cell = Cell4.in("REQ").releaseOwed();
    int asked = cell.last().grantPending().orElseThrow();
    cell.take(new HoldInput.AckOverdue(true)).take(new HoldInput.GrantSynced(asked));
    assertThat(cell.state().permitted()).isFalse();
  }

  @Test
  void aCellThatRestartedMustHearTheHoldAnew() {
    Cell4 cell = Cell4.in("ACK").take(new HoldInput.CellRestarted());
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.state().heard()).isFalse();
  }

  @Test
  void stoppedIsTheCellsWordForLackOfPermitAndEndsWithThePermit() {
    Cell4 cell = Cell4.in("ACK").take(new HoldInput.CellStopped());
    assertThat(cell.state().stopped()).isTrue();
    assertThat(cell.release().sync().state().stopped()).isFalse();
    assertThat(cell.take(new HoldInput.CellStopped()).state().stopped()).isFalse();
  }

  // --- note 10: faults of our own ------------------------------------------------------------

  @Test
  void aFaultThatLatchesByConfigIsAConditionAndAFinding() {
    Condition fault = new Condition(Reason.NOT_JUDGED, Optional.of("bearing-seat"));
    Cell4 cell = Cell4.in("RUN").set(fault).find("not-judged/bearing-seat", END_OF_PART);
    assertThat(cell.clear(fault).sync().state().permitted()).isFalse();
    assertThat(cell.release().sync().state().permitted()).isTrue();
  }

  @Test
  void watchOnlyIsShownAndChangesNothingElse() {
    Cell4 cell = Cell4.in("RUN").take(new HoldInput.WatchOnlySet(true));
    assertThat(HoldViews.view("cell-4", cell.state(), "c").watchOnly()).isTrue();
    assertThat(cell.find("size", END_OF_PART).state().permitted()).isFalse();
  }
}
