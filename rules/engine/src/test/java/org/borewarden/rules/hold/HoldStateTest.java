package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.Test;

final class HoldStateTest {
  @Test
  void beforeAnyStartThePermitIsAbsent() {
    HoldState state = HoldState.initial(Cell4.AT);
    assertThat(state.permitted()).isFalse();
    assertThat(state.phase()).isEqualTo(Phase.STARTING);
  }

  @Test
  void aStateWhosePartsContradictEachOtherCannotBeMade() {
    HoldState run = Cell4.in("RUN").state();
    Grant older =
        new Grant(
            Grant.Kind.READY, run.revision() - 1, Optional.empty(), Optional.empty(), "agent");
    assertThatThrownBy(() -> Tamper.withGrant(run, older))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("a grant has this revision");
  }

  @Test
  void theViewSaysEndOfPartWheneverThePermitIsAbsentAndNothingHigherStands() {
    for (String code : List.of("SU", "NRY", "REQ", "ACK", "RLW")) {
      HoldView view = HoldViews.view("cell-4", Cell4.in(code).state(), "c");
      assertThat(view.permitted()).as(code).isFalse();
      assertThat(view.kind()).as(code).contains(StopKind.END_OF_PART);
    }
    for (String code : List.of("RUN", "TRY", "BYP")) {
      HoldView view = HoldViews.view("cell-4", Cell4.in(code).state(), "c");
      assertThat(view.permitted()).as(code).isTrue();
      assertThat(view.kind()).as(code).isEmpty();
    }
  }

  @Test
  void theViewShowsTrialPartsBypassEndAndWhatACommandMustQuote() {
    HoldView trial = HoldViews.view("cell-4", Cell4.in("TRY").state(), "f3a1");
    assertThat(trial.trialPartsLeft()).isEqualTo(3);
    assertThat(trial.challenge()).isEqualTo("f3a1");
    assertThat(trial.cell()).isEqualTo("cell-4");
    HoldState held = Cell4.in("BYP").state();
    HoldView bypass = HoldViews.view("cell-4", held, "c");
    assertThat(bypass.bypassUntil()).isEqualTo(held.bypass().map(Bypass::until));
    assertThat(bypass.number()).isEqualTo(held.number());
    assertThat(bypass.revision()).isEqualTo(held.revision());
    assertThat(bypass.trialPartsLeft()).isZero();
  }
}
