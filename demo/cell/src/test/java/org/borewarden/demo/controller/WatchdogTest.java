package org.borewarden.demo.controller;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The cell's side of docs/hold.md, clause by clause, on the text and the port together. */
class WatchdogTest {
  private final Bench bench = new Bench();

  @Test
  void aPermitCountsAfterThreeGoodStepsAndNotBefore() {
    bench.show(Image.permit(9, 100)).scan();
    bench.show(Image.permit(9, 101)).scan();
    bench.show(Image.permit(9, 102)).scan();
    assertThat(bench.port.permit()).isFalse();
    bench.show(Image.permit(9, 103)).scan();
    assertThat(bench.port.permit()).isTrue();
  }

  @Test
  void theBeatMayRunOverItsEndAndSkipsZero() {
    bench.show(Image.permit(9, 65533)).scan();
    bench.show(Image.permit(9, 65535)).scan();
    bench.show(Image.permit(9, 1)).scan();
    bench.show(Image.permit(9, 2)).scan();
    assertThat(bench.port.permit()).isTrue();
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 7, 8})
  void aStepOfOneToEightKeepsThePermit(int step) {
    permitted();
    bench.show(Image.permit(9, 1000 + step)).scan();
    assertThat(bench.port.permit()).isTrue();
  }

  @ParameterizedTest
  @ValueSource(ints = {-1, 9, 500, 30000})
  void anyOtherStepTakesThePermitAndThreeMoreAreNeeded(int step) {
    permitted();
    int beat = 1000 + step;
    bench.show(Image.permit(9, beat)).scan();
    assertThat(bench.port.permit()).isFalse();
    bench.show(Image.permit(9, beat + 1)).scan().show(Image.permit(9, beat + 2)).scan();
    assertThat(bench.port.permit()).isFalse();
    bench.show(Image.permit(9, beat + 3)).scan();
    assertThat(bench.port.permit()).isTrue();
  }

  @Test
  void aBeatThatStandsKeepsThePermitForTheTimeOutAndNoScanLonger() {
    permitted();
    bench.scan(1000);
    assertThat(bench.port.permit()).isTrue();
    bench.scan(1);
    assertThat(bench.port.permit()).isFalse();
  }

  @Test
  void afterTheTimeOutOneBeatIsNotEnough() {
    permitted();
    bench.scan(1001).show(Image.permit(9, 1001)).scan();
    assertThat(bench.port.permit()).isFalse();
    bench.show(Image.permit(9, 1002)).scan().show(Image.permit(9, 1003)).scan();
    assertThat(bench.port.permit()).isTrue();
  }

  @Test
  void aNewBootIdTakesThePermitEvenIfTheBeatGoesOn() {
    permitted();
    bench.show(Image.permit(10, 1001)).scan();
    assertThat(bench.port.permit()).isFalse();
  }

  @Test
  void aTestImageIsNoPermitNoKindAndNoHold() {
    permitted();
    for (int beat = 1001; beat <= 1008; beat++) {
      bench.show(new Image(9, beat, 0x0400 | 0b1_0101, 77)).scan();
      assertThat(bench.port.permit()).isFalse();
    }
    assertThat(bench.port.testing()).isTrue();
    assertThat(bench.port.heard()).isFalse();
    assertThat(bench.port.safePointAsked()).isFalse();
    assertThat(bench.port.echo()).isEqualTo(1008);

    Program blind = Program.shippedWithout(" AND (NOT Testing)", "");
    for (int beat = 1001; beat <= 1008; beat++) {
      blind.scan(new Image(9, beat, 0x0401, 0).registers(), 10, false, false, false);
    }
    assertThat(blind.permit()).as("without that rule it would be one").isTrue();
  }

  @Test
  void aWithdrawnPermitIsSeenInTheSameScan() {
    permitted();
    bench.show(new Image(9, 1001, 0, 0)).scan();
    assertThat(bench.port.permit()).isFalse();
    bench.show(Image.permit(9, 1002)).scan();
    assertThat(bench.port.permit()).isTrue();
  }

  @Test
  void allZerosAndAllOnesAreNoPermit() {
    permitted();
    bench.show(new int[20]).scan();
    assertThat(bench.port.permit()).isFalse();
    int[] ones = new int[20];
    Arrays.fill(ones, 0xFFFF);
    bench.show(ones).scan();
    assertThat(bench.port.permit()).isFalse();
  }

  @Test
  void everyTornImageIsNoPermitWhicheverEndWasWrittenFirst() {
    int[] old = Image.permit(9, 1000).registers();
    int[] fresh = new Image(9, 1001, Image.LATCHED, 7).registers();
    for (int at = 1; at < 20; at++) {
      for (boolean headFirst : new boolean[] {true, false}) {
        if (torn(old, fresh, at, headFirst)[1] == torn(old, fresh, at, headFirst)[19]) {
          continue; // only register 0, which both share, is on the other side: a whole image
        }
        Bench torn = new Bench();
        walk(torn);
        torn.show(torn(old, fresh, at, headFirst)).scan();
        assertThat(torn.port.permit()).as("torn at %d, head first %s", at, headFirst).isFalse();
      }
    }
  }

  @Test
  void withoutTheCopyOfTheBeatATornImageWouldBeAPermit() {
    int[] old = Image.permit(9, 1000).registers();
    int[] fresh = new Image(9, 1001, Image.LATCHED, 7).registers();
    Program blind = Program.shippedWithout("AND (BeatCopy = Beat) ", "");
    for (int beat = 997; beat <= 1000; beat++) {
      blind.scan(Image.permit(9, beat).registers(), 10, false, false, false);
    }
    blind.scan(torn(old, fresh, 10, false), 10, false, false, false);
    assertThat(blind.permit()).isTrue();
  }

  @Test
  void theKindNextSafePointStaysUntilAPermitIsSeen() {
    permitted();
    bench.run(9, Image.LATCHED | Image.SAFE_POINT, 250);
    bench.run(9, Image.LATCHED, 500);
    assertThat(bench.port.safePointAsked()).isTrue();
    assertThat(bench.port.heardKind()).isEqualTo(2);
    assertThat(bench.port.mayGoOn()).isFalse();
    bench.run(9, Image.PERMIT, 250);
    assertThat(bench.port.safePointAsked()).isFalse();
    assertThat(bench.port.mayGoOn()).isTrue();
  }

  @Test
  void aHoldIsHeardWithItsNumberAndKind() {
    bench.run(9, Image.LATCHED, 250);
    assertThat(bench.port.heard()).isTrue();
    assertThat(bench.port.heardNumber()).isEqualTo(7);
    assertThat(bench.port.heardKind()).isEqualTo(1);
    bench.run(9, Image.PERMIT, 250);
    assertThat(bench.port.heard()).isFalse();
    assertThat(bench.port.heardNumber()).isZero();
    assertThat(bench.port.heardKind()).isZero();
  }

  @Test
  void aBlipInsideAPartCostsNothing() {
    started();
    bench.atStart(false).run(9, 0, 5000);
    bench.run(9, Image.PERMIT, 1000).atStart(true).scan();
    assertThat(bench.port.mayStart()).isTrue();
  }

  @Test
  void aWaitOfTwoSecondsAtTheStartPointResumesByItself() {
    started();
    bench.run(9, 0, 2000);
    assertThat(bench.port.mayStart()).isFalse();
    assertThat(bench.port.stoppedAtStart()).isFalse();
    bench.run(9, Image.PERMIT, 250);
    assertThat(bench.port.mayStart()).isTrue();
  }

  @Test
  void aLongerWaitIsStoppedAndEndsOnlyByAPermitAndALocalStart() {
    started();
    bench.run(9, 0, 2010);
    assertThat(bench.port.stoppedAtStart()).isTrue();
    bench.press();
    assertThat(bench.port.stoppedAtStart()).as("a start without a permit").isTrue();
    bench.run(9, Image.PERMIT, 1000);
    assertThat(bench.port.mayStart()).as("a permit without a start").isFalse();
    bench.press();
    assertThat(bench.port.mayStart()).isTrue();
  }

  @Test
  void aButtonThatWasHeldDownBeforeThePermitCameIsNoStart() {
    started();
    bench.run(9, 0, 2010).button(true).run(9, 0, 250).run(9, Image.PERMIT, 1000);
    assertThat(bench.port.mayStart()).isFalse();
  }

  @Test
  void aButtonThatIsStuckAtPowerUpIsNoStart() {
    bench.button(true).run(9, Image.PERMIT, 3000);
    assertThat(bench.port.permit()).isTrue();
    assertThat(bench.port.mayStart()).isFalse();
  }

  @Test
  void waitingAtASafePointIsStoppedThereAndOnlyForThatKind() {
    started();
    bench.atStart(false).atSafe(true).run(9, Image.LATCHED, 5000);
    assertThat(bench.port.stoppedAtSafe()).isFalse();
    assertThat(bench.port.mayGoOn()).isTrue();
    bench.run(9, Image.LATCHED | Image.SAFE_POINT, 2010);
    assertThat(bench.port.stoppedAtSafe()).isTrue();
    bench.run(9, Image.PERMIT, 1000);
    assertThat(bench.port.mayGoOn()).isFalse();
    bench.press();
    assertThat(bench.port.mayGoOn()).isTrue();
  }

  @Test
  void aClockThatStandsStillKeepsNoPermitAndNoWait() {
    started();
    int scans = 0;
    while (bench.port.permit()) {
      bench.scan(0);
      assertThat(scans++).isLessThan(1001);
    }
    for (int i = 0; i < 2001; i++) {
      bench.scan(-1);
    }
    assertThat(bench.port.stoppedAtStart()).isTrue();
  }

  @Test
  void theEchoIsTheLastBeatThatPassedTheCheck() {
    bench.show(Image.permit(9, 100)).scan();
    assertThat(bench.port.echo()).isEqualTo(100);
    int[] bad = Image.permit(9, 101).registers();
    bad[3] ^= 1;
    bench.show(bad).scan();
    assertThat(bench.port.echo()).isEqualTo(100);
  }

  private void permitted() {
    walk(bench);
    assertThat(bench.port.permit()).isTrue();
  }

  private static void walk(Bench bench) {
    for (int beat = 997; beat <= 1000; beat++) {
      bench.show(Image.permit(9, beat)).scan();
    }
  }

  private void started() {
    bench.atStart(true).run(9, Image.PERMIT, 1000).press();
    assertThat(bench.port.mayStart()).isTrue();
  }

  private static int[] torn(int[] old, int[] fresh, int at, boolean headFirst) {
    int[] mixed = (headFirst ? old : fresh).clone();
    System.arraycopy(headFirst ? fresh : old, 0, mixed, 0, at);
    return mixed;
  }
}
