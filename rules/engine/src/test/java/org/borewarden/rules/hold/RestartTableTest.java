package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** A start in any state, against its reviewed table. */
final class RestartTableTest {
  private static final Table TABLE = Table.read("/hold/restart-table.md");
  private static final Map<String, Boolean> CLEAN =
      Map.of("clean stop, start", true, "unclean stop, start", false);

  @Test
  void theTableHasEveryStateAndBothStarts() {
    assertThat(TABLE.columns().stream().map(Cell4::phase)).containsExactly(Phase.values());
    assertThat(TABLE.rows().keySet()).isEqualTo(CLEAN.keySet());
  }

  @TestFactory
  Stream<DynamicTest> aStartDoesWhatTheTableSays() {
    List<DynamicTest> tests = new ArrayList<>();
    for (Map.Entry<String, List<String>> row : TABLE.rows().entrySet()) {
      for (int i = 0; i < TABLE.columns().size(); i++) {
        String column = TABLE.columns().get(i);
        String cell = row.getValue().get(i);
        boolean clean = CLEAN.getOrDefault(row.getKey(), false);
        tests.add(
            DynamicTest.dynamicTest(
                row.getKey() + " in " + column + ": " + cell, () -> compare(column, clean, cell)));
      }
    }
    return tests.stream();
  }

  private static void compare(String column, boolean clean, String cell) {
    Cell4 started = Cell4.in(column).take(new HoldInput.Restarted(clean));
    HoldState state = started.state();
    List<String> causes = started.causes();
    String found = (causes.isEmpty() ? "none" : String.join(", ", causes));
    assertThat("SU: " + found).isEqualTo(cell);
    assertThat(state.phase()).isEqualTo(Phase.STARTING);
    assertThat(state.permitted()).isFalse();
    assertThat(state.heard()).isFalse();
    assertThat(state.grant()).isEmpty();
    assertThat(state.kind().isPresent()).isEqualTo(!causes.isEmpty());
  }

  @Test
  void aCleanStartKeepsNumberAndKindOfALatchedHold() {
    Cell4 held = Cell4.in("REQ").find("size", StopKind.NEXT_SAFE_POINT);
    int number = held.state().number();
    held.take(new HoldInput.Restarted(true));
    assertThat(held.state().number()).isEqualTo(number);
    assertThat(held.state().kind()).contains(StopKind.NEXT_SAFE_POINT);
    assertThat(held.causes()).containsExactly("drift", "size");
  }

  @Test
  void anUncleanStartLatchesWithTheHigherSyncedKind() {
    Cell4 held = Cell4.in("REQ").find("size", StopKind.NEXT_SAFE_POINT);
    held.take(new HoldInput.Restarted(false));
    assertThat(held.state().kind()).contains(StopKind.NEXT_SAFE_POINT);
    Cell4 run = Cell4.in("RUN").take(new HoldInput.Restarted(false));
    assertThat(run.state().kind()).contains(StopKind.END_OF_PART);
  }

  @Test
  void aHoldNumberThatWentOutBeforeAPowerCutIsNeverUsedAgain() {
    HoldState synced = Cell4.in("RUN").state();
    int lost = Cell4.from(synced).find("drift", StopKind.END_OF_PART).state().number();
    HoldState restarted = Cell4.from(synced).take(new HoldInput.Restarted(false)).state();
    assertThat(restarted.number()).isGreaterThan(lost);
    assertThat(restarted.revision()).isGreaterThan(synced.revision() + 1);
  }

  @Test
  void conditionsOfTheRunAreProvedAnewAndThoseOfTheRecordStay() {
    Condition again = new Condition(Reason.MEASURE_AGAIN, java.util.Optional.of("bearing-seat"));
    Cell4 cell = Cell4.in("RUN").set(Cell4.LINK).set(again).set(Cell4.JOURNAL);
    cell.take(new HoldInput.Restarted(true));
    assertThat(cell.state().conditions()).containsExactly(again);
  }
}
