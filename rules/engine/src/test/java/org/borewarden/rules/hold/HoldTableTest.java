package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** The machine against the reviewed table, cell by cell. */
final class HoldTableTest {
  private static final Table TABLE = Table.read("/hold/hold-table.md");

  @Test
  void theTableHasEveryStateAndEveryRowHasAnInput() {
    assertThat(TABLE.columns().stream().map(Cell4::phase)).containsExactly(Phase.values());
    assertThat(TABLE.rows().keySet()).isEqualTo(TableInputs.ROWS.keySet());
  }

  @Test
  void anInputWithoutARowIsAnUntestedTransition() {
    Set<Class<?>> tested = new HashSet<>(Set.of(HoldInput.Restarted.class)); // RestartTableTest
    HoldState run = Cell4.in("RUN").state();
    TableInputs.ROWS.values().forEach(row -> tested.add(row.apply(run).getClass()));
    assertThat(tested).isEqualTo(leaves(HoldInput.class));
  }

  private static Set<Class<?>> leaves(Class<?> type) {
    Set<Class<?>> leaves = new HashSet<>();
    for (Class<?> sub : type.getPermittedSubclasses()) {
      if (sub.isInterface()) {
        leaves.addAll(leaves(sub));
      } else {
        leaves.add(sub);
      }
    }
    return leaves;
  }

  @TestFactory
  Stream<DynamicTest> theMachineDoesWhatTheTableSays() {
    List<DynamicTest> tests = new ArrayList<>();
    TABLE
        .rows()
        .forEach(
            (row, cells) -> {
              for (int i = 0; i < cells.size(); i++) {
                String column = TABLE.columns().get(i);
                String cell = cells.get(i);
                tests.add(
                    DynamicTest.dynamicTest(
                        row + " in " + column + ": " + cell, () -> compare(row, column, cell)));
              }
            });
    return tests.stream();
  }

  private static void compare(String row, String column, String cell) {
    HoldState before = Cell4.in(column).state();
    HoldInput input = TableInputs.of(row, before);
    if (cell.startsWith("-")) {
      new CellCheck(standing(before, input), input).cleared();
      return;
    }
    CellCheck check = new CellCheck(before, input);
    String[] marks = cell.split(";", -1);
    for (String mark : marks) {
      compare(check, mark.strip(), marks.length == 1);
    }
  }

  /** The state of the column with the row's condition standing, where the column can have it. */
  private static HoldState standing(HoldState before, HoldInput clearing) {
    Condition condition = TableInputs.conditionOf(clearing).orElseThrow();
    HoldState with = Cell4.from(before).set(condition).state();
    return with.phase() == before.phase() ? with : before;
  }

  private static void compare(CellCheck check, String mark, boolean alone) {
    if (mark.equals("=")) {
      check.recordedOnly();
    } else if (mark.startsWith("x ")) {
      check.refused(mark.substring(2));
    } else if (mark.startsWith("+")) {
      check.conditionStands(mark.substring(1), alone);
    } else if (mark.equals("P0")) {
      check.suspended();
    } else if (mark.equals("GO")) {
      check.goes();
    } else if (mark.equals("RLB")) {
      check.releasesWithItsPermit(Phase.BYPASSED);
    } else if (mark.equals("RLW+")) {
      check.releasesWithItsPermit(Phase.RELEASING);
    } else if (mark.contains("!")) {
      boolean atEnd = mark.endsWith("!E");
      assertThat(atEnd || mark.endsWith("!N")).isTrue();
      Phase phase = Cell4.phase(mark.substring(0, mark.indexOf('!')));
      check.raised(phase, atEnd ? StopKind.END_OF_PART : StopKind.NEXT_SAFE_POINT);
    } else if (mark.endsWith("~")) {
      check.granted(Cell4.phase(mark.substring(0, mark.length() - 1)));
    } else if (mark.endsWith("^")) {
      check.givenNow(Cell4.phase(mark.substring(0, mark.length() - 1)));
    } else {
      check.moved(Cell4.phase(mark));
    }
  }
}
