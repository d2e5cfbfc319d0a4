package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.Test;

final class TrialTest {
  private static Trial trial(int parts, int lag, int goodNeeded) {
    return Trial.begin(new Trial.Terms(parts, lag, goodNeeded), "sam");
  }

  private static Cell4 cellInTrial(int parts, int lag, int goodNeeded) {
    Cell4 cell = Cell4.in("ACK");
    HoldState s = cell.state();
    return cell.take(
            new HoldInput.Release(
                s.number(),
                s.revision(),
                false,
                Optional.of(new Trial.Terms(parts, lag, goodNeeded)),
                "sam"))
        .sync();
  }

  private static Cell4 part(Cell4 cell) {
    return cell.take(new HoldInput.TrialPartBegun()).take(new HoldInput.TrialPartFinished());
  }

  private static Cell4 bore(Cell4 cell, boolean within) {
    return cell.take(new HoldInput.TrialBore(within));
  }

  @Test
  void releaseNeedsThreeGoodBoresInARow() {
    Evidence evidence = Evidence.of(3);
    int bores = 0;
    // within, undecided-high, within, within, within: possible after the fifth
    for (boolean within : List.of(true, false, true, true, true)) {
      assertThat(evidence.complete()).as("after bore %s", bores).isFalse();
      evidence = evidence.bore(within);
      bores++;
    }
    assertThat(bores).isEqualTo(5);
    assertThat(evidence.complete()).isTrue();
  }

  @Test
  void goodBoresOfATrialReleaseTheHoldOnceThatIsSynced() {
    Cell4 cell = bore(part(bore(part(cellInTrial(3, 0, 2)), true)), true);
    assertThat(cell.state().phase()).isEqualTo(Phase.RELEASING);
    assertThat(cell.state().permitted()).as("the trial's permit is kept").isTrue();
    cell.sync();
    assertThat(cell.state().phase()).isEqualTo(Phase.PERMITTED);
    assertThat(cell.causes()).isEmpty();
  }

  @Test
  void aPartThatGivesNoBoreBeforeTheNextStartsEndsTheTrial() {
    Cell4 cell = part(cellInTrial(3, 0, 2));
    assertThat(cell.state().permitted()).isTrue();
    cell.take(new HoldInput.TrialPartBegun());
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.causes()).containsExactly("drift", "trial-failed");
  }

  @Test
  void withALagThatManyPartsMayOweTheirBore() {
    Trial owing = trial(5, 2, 3).partFinished().next().partFinished().next();
    assertThat(owing.partBegun().outcome()).isEqualTo(Trial.Outcome.GOES_ON);
    Trial three = owing.partFinished().next();
    assertThat(three.partBegun().outcome()).isEqualTo(Trial.Outcome.MISSING_BORE);
    assertThat(three.partFinished().outcome()).isEqualTo(Trial.Outcome.MISSING_BORE);
    assertThat(three.boreWithin().next().partBegun().outcome()).isEqualTo(Trial.Outcome.GOES_ON);
  }

  @Test
  void aBadBoreEndsTheTrialUnderANewNumber() {
    Cell4 cell = part(cellInTrial(3, 0, 2));
    int number = cell.state().number();
    bore(cell, false);
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.state().permitted()).isFalse();
    assertThat(cell.state().number()).isGreaterThan(number);
  }

  @Test
  void theLastPartTakesThePermitAndItsBoreCanStillCompleteTheEvidence() {
    Cell4 cell = bore(part(cellInTrial(2, 0, 2)), true);
    cell.take(new HoldInput.TrialPartBegun());
    assertThat(cell.state().permitted()).as("no third part may begin").isFalse();
    assertThat(cell.state().phase()).isEqualTo(Phase.TRIAL);
    cell.take(new HoldInput.TrialPartFinished());
    bore(cell, true);
    assertThat(cell.state().phase()).isEqualTo(Phase.RELEASING);
    assertThat(cell.state().permitted()).as("nothing is kept").isFalse();
    assertThat(cell.sync().state().permitted()).isTrue();
  }

  @Test
  void aPartBeyondTheCountEndsTheTrial() {
    Cell4 cell = cellInTrial(1, 0, 1).take(new HoldInput.TrialPartFinished());
    assertThat(cell.state().phase()).isEqualTo(Phase.TRIAL);
    cell.take(new HoldInput.TrialPartFinished());
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
  }

  @Test
  void partsUsedUpWithoutTheEvidenceEndTheTrial() {
    Trial usedUp =
        new Trial(0, false, 1, 1, new Evidence(3, 0), false, "sam"); // one bore is still owed
    assertThat(usedUp.boreWithin().outcome()).isEqualTo(Trial.Outcome.USED_UP);
    assertThat(usedUp.partFinished().outcome()).isEqualTo(Trial.Outcome.USED_UP);
  }

  @Test
  void evidenceThatIsCompleteWhileAConditionStandsWaitsForItsEnd() {
    Cell4 cell = Cell4.in("TRY").set(Cell4.LINK).take(new HoldInput.EvidenceComplete());
    assertThat(cell.state().phase()).isEqualTo(Phase.TRIAL);
    cell.clear(Cell4.LINK);
    assertThat(cell.state().phase()).isEqualTo(Phase.RELEASING);
    assertThat(cell.state().permitted()).as("the link's return is not synced").isFalse();
    assertThat(cell.sync().state().phase()).isEqualTo(Phase.PERMITTED);
  }

  @Test
  void aTrialOverItsLimitsIsRefused() {
    for (Trial.Terms terms :
        List.of(
            new Trial.Terms(0, 0, 1),
            new Trial.Terms(Trial.MAX_PARTS + 1, 0, 1),
            new Trial.Terms(2, 0, 3),
            new Trial.Terms(2, -1, 1))) {
      Cell4 cell = Cell4.in("REQ");
      HoldState s = cell.state();
      cell.take(new HoldInput.Release(s.number(), s.revision(), false, Optional.of(terms), "sam"));
      assertThat(cell.code()).as("%s", terms).contains(AnswerCode.OVER_LIMIT);
      assertThat(cell.state()).isEqualTo(s);
    }
  }

  @Test
  void aCellThatCountsNoPartsHasNoTrial() {
    Cell4 cell = Cell4.in("REQ");
    HoldState s = cell.state();
    cell.take(new HoldInput.Release(s.number(), s.revision(), false, Optional.empty(), "sam"));
    assertThat(cell.code()).contains(AnswerCode.EVIDENCE_MISSING);
  }

  @Test
  void aFindingInATrialEndsItEvenIfItsCauseStandsAlready() {
    Cell4 cell = Cell4.in("TRY").find("drift", StopKind.END_OF_PART);
    assertThat(cell.state().phase()).isEqualTo(Phase.REQUESTED);
    assertThat(cell.state().causes().get(0).count()).isEqualTo(2);
  }
}
