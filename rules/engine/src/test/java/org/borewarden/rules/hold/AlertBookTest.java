package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;

final class AlertBookTest {
  private static final Instant AT = Cell4.AT;
  private static final String KEY = "run/bearing-seat";

  private static AlertInput.Raised raised(String key, boolean holds, int partsLeft) {
    return new AlertInput.Raised(
        key,
        Reason.RUN,
        Optional.of("bearing-seat"),
        Optional.of("cell-4"),
        holds,
        false,
        OptionalInt.of(partsLeft),
        partsLeft + " parts left");
  }

  private static AlertBook raisedOnce() {
    return AlertBook.EMPTY.step(raised(KEY, false, 9), AT).next();
  }

  private static AlertInput.Shelved shelvedFor(Duration time) {
    return new AlertInput.Shelved(KEY, AT.plus(time), "vera", "offset is on its way");
  }

  @Test
  void oneCauseIsOneAlertAndIsCounted() {
    AlertBook book = raisedOnce();
    AlertBook.Step again = book.step(raised(KEY, false, 7), AT.plusSeconds(60));
    assertThat(again.next().alerts()).hasSize(1);
    AlertView view = again.changed().get(0);
    assertThat(view.count()).isEqualTo(2);
    assertThat(view.since()).isEqualTo(AT);
    assertThat(view.partsLeft()).hasValue(7);
    assertThat(view.words()).isEqualTo("7 parts left");
  }

  @Test
  void aCauseThatReturnsAfterItWasGoneIsActiveSinceThen() {
    AlertBook gone = raisedOnce().step(new AlertInput.Returned(KEY), AT.plusSeconds(1)).next();
    AlertView view = gone.step(raised(KEY, false, 9), AT.plusSeconds(60)).changed().get(0);
    assertThat(view.since()).isEqualTo(AT.plusSeconds(60));
  }

  @Test
  void noNumberOfRaisesIsLimited() {
    AlertBook book = AlertBook.EMPTY;
    for (int i = 0; i < 500; i++) {
      book = book.step(raised("run/feature-" + i, true, 1), AT).next();
    }
    assertThat(book.views()).hasSize(500);
  }

  @Test
  void anAlertThatIsNormalLeavesTheBookAndIsStillSaid() {
    AlertBook seen = raisedOnce().step(new AlertInput.Acknowledged(KEY, "ines"), AT).next();
    AlertBook.Step gone = seen.step(new AlertInput.Returned(KEY), AT);
    assertThat(gone.next()).isEqualTo(AlertBook.EMPTY);
    assertThat(gone.changed()).hasSize(1);
    assertThat(gone.changed().get(0).state()).isEqualTo(AlertState.NORMAL);
  }

  @Test
  void aShelvedAlertSaysWhoUntilWhenAndWhy() {
    AlertView view = raisedOnce().step(shelvedFor(Duration.ofHours(2)), AT).changed().get(0);
    assertThat(view.by()).isEqualTo("vera");
    assertThat(view.until()).contains(AT.plus(Duration.ofHours(2)));
    assertThat(view.why()).contains("offset is on its way");
  }

  @Test
  void aCountWhileShelvedKeepsTheShelving() {
    AlertBook shelved = raisedOnce().step(shelvedFor(Duration.ofHours(2)), AT).next();
    AlertView view = shelved.step(raised(KEY, false, 8), AT.plusSeconds(9)).changed().get(0);
    assertThat(view.state()).isEqualTo(AlertState.SHELVED);
    assertThat(view.until()).contains(AT.plus(Duration.ofHours(2)));
    assertThat(view.by()).isEqualTo("vera");
    assertThat(view.count()).isEqualTo(2);
  }

  @Test
  void shelvingIsLimitedToADayAndToTheFuture() {
    AlertBook book = raisedOnce();
    assertThat(book.step(shelvedFor(Duration.ofDays(1)), AT).code()).contains(AnswerCode.ACCEPTED);
    assertThat(book.step(shelvedFor(Duration.ofDays(1).plusMillis(1)), AT).code())
        .contains(AnswerCode.OVER_LIMIT);
    assertThat(book.step(shelvedFor(Duration.ZERO), AT).code()).contains(AnswerCode.OVER_LIMIT);
  }

  @Test
  void aShelvingWhoseTimeIsUpIsNamed() {
    AlertBook shelved = raisedOnce().step(shelvedFor(Duration.ofHours(2)), AT).next();
    assertThat(shelved.shelvedUntil(AT.plus(Duration.ofMinutes(119)))).isEmpty();
    assertThat(shelved.shelvedUntil(AT.plus(Duration.ofHours(2)))).containsExactly(KEY);
  }

  @Test
  void aHoldThatIsSeenAgainWithoutHoldingIsStillAHoldUntilItsRelease() {
    AlertBook held = AlertBook.EMPTY.step(raised(KEY, true, 2), AT).next();
    AlertBook weaker = held.step(raised(KEY, false, 9), AT).next();
    assertThat(weaker.views().get(0).holds()).isTrue();
    AlertView gone = weaker.step(new AlertInput.Returned(KEY), AT).changed().get(0);
    assertThat(gone.state()).isEqualTo(AlertState.LATCHED);
  }

  @Test
  void aReleaseEndsTheAlertsOfThatHoldAndLeavesTheOthers() {
    AlertBook book =
        raisedOnce()
            .step(raised("oversize/bearing-seat", true, 0), AT)
            .next()
            .step(new AlertInput.HoldReleased("cell-4", "sam"), AT)
            .next();
    assertThat(book.views().stream().map(v -> v.key() + " " + v.state().key()))
        .containsExactly(
            "oversize/bearing-seat returned-unacknowledged", KEY + " active-unacknowledged");
  }
}
