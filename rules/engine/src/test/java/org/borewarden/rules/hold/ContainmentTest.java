package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import org.junit.jupiter.api.Test;

final class ContainmentTest {
  @Test
  void everyPartSinceTheLastWithinBoreAndThoseCutBeforeTheStopAreHeldBack() {
    // Every 5th part is measured; 35 within, 40 oversize, two more cut before the stop.
    Containment contain = Containment.of(OptionalLong.of(35), 40, 2);
    assertThat(contain.words(Map.of())).containsExactly("36", "37", "38", "39", "40", "41", "42");
  }

  @Test
  void aKnownSerialStandsInPlaceOfTheNumber() {
    Containment contain = Containment.of(OptionalLong.of(35), 37, 0);
    assertThat(contain.words(Map.of(37L, "GH-2207"))).containsExactly("36", "GH-2207");
  }

  @Test
  void withoutAWithinBoreEveryEarlierPartIsHeldBack() {
    Containment contain = Containment.of(OptionalLong.empty(), 40, 2);
    assertThat(contain.words(Map.of())).containsExactly("every part up to 42");
  }

  @Test
  void theBadPartIsHeldBackEvenIfALaterOneWasMeasuredFirst() {
    assertThat(Containment.of(OptionalLong.of(41), 40, 0).words(Map.of())).containsExactly("40");
  }

  @Test
  void aLongListIsSaidAsARange() {
    int listed = Containment.MAX_LISTED;
    assertThat(Containment.of(OptionalLong.of(0), listed, 0).words(Map.of())).hasSize(listed);
    assertThat(Containment.of(OptionalLong.of(0), listed, 1).words(Map.of()))
        .containsExactly("1 to " + (listed + 1));
  }

  @Test
  void aCountThatRanBackwardsAddsNothing() {
    assertThat(Containment.of(OptionalLong.of(39), 40, -3).words(Map.of())).containsExactly("40");
    assertThatThrownBy(() -> new Containment(OptionalLong.of(5), 4))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void aHoldCarriesItsContainListUntilItsRelease() {
    Cell4 cell = Cell4.in("REQ").take(new HoldInput.ContainAdded(List.of("36", "37")));
    cell.take(new HoldInput.ContainAdded(List.of("37", "38")));
    assertThat(cell.state().contain()).containsExactly("36", "37", "38");
    assertThat(cell.release().sync().state().contain()).isEmpty();
  }

  @Test
  void theContainListOfAHoldIsBoundedAndSaysSo() {
    Cell4 cell = Cell4.in("REQ");
    List<String> parts =
        java.util.stream.IntStream.range(0, 1_500).mapToObj(Integer::toString).toList();
    cell.take(new HoldInput.ContainAdded(parts));
    assertThat(cell.state().contain())
        .hasSize(HoldDraft.MAX_CONTAIN)
        .last()
        .isEqualTo("and every later part until the stop");
  }

  @Test
  void withoutAHoldThereIsNothingToContain() {
    Cell4 cell = Cell4.in("RUN").take(new HoldInput.ContainAdded(List.of("36")));
    assertThat(cell.last().changed()).isFalse();
  }
}
