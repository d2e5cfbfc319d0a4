package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;

/** The life of an alert against its reviewed table, cell by cell. */
final class AlertTableTest {
  private static final Table TABLE = Table.read("/hold/alert-table.md");
  private static final String KEY = "forecast/bearing-seat";
  private static final Map<String, AlertInput> ROWS = rows();

  private static Map<String, AlertInput> rows() {
    Map<String, AlertInput> rows = new LinkedHashMap<>();
    rows.put("raised", raised(false));
    rows.put("raised, holds", raised(true));
    rows.put("returned", new AlertInput.Returned(KEY));
    rows.put("acknowledged", new AlertInput.Acknowledged(KEY, "ines"));
    rows.put(
        "shelved",
        new AlertInput.Shelved(KEY, Cell4.AT.plus(Duration.ofHours(1)), "vera", "known"));
    rows.put("unshelved", new AlertInput.Unshelved(KEY, HoldState.AGENT));
    rows.put("hold released", new AlertInput.HoldReleased("cell-4", "sam"));
    rows.put("hold of another cell released", new AlertInput.HoldReleased("cell-5", "sam"));
    rows.put("out of service", new AlertInput.OutOfService(KEY, "quinn", "head exchanged"));
    rows.put("back in service", new AlertInput.BackInService(KEY, "quinn"));
    return rows;
  }

  private static AlertInput.Raised raised(boolean holds) {
    return new AlertInput.Raised(
        KEY,
        Reason.FORECAST,
        Optional.of("bearing-seat"),
        Optional.of("cell-4"),
        holds,
        false,
        OptionalInt.of(9),
        "9 parts left");
  }

  /** An alert in a column's state, driven there by the rows themselves. */
  private static AlertBook in(String column) {
    return switch (column) {
      case "NORM" -> AlertBook.EMPTY;
      case "UNA" -> drive("raised");
      case "ACK" -> drive("raised", "acknowledged");
      case "RET" -> drive("raised", "returned");
      case "HUNA" -> drive("raised, holds");
      case "HACK" -> drive("raised, holds", "acknowledged");
      case "LATN" -> drive("raised, holds", "returned");
      case "LATS" -> drive("raised, holds", "returned", "acknowledged");
      case "SHE" -> drive("raised", "shelved");
      case "SHR" -> drive("raised", "shelved", "returned");
      case "OUT" -> drive("raised", "out of service");
      case "OUR" -> drive("raised", "out of service", "returned");
      default -> throw new IllegalArgumentException("no state " + column);
    };
  }

  private static AlertBook drive(String... rows) {
    AlertBook book = AlertBook.EMPTY;
    for (String row : rows) {
      book = book.step(input(row), Cell4.AT).next();
    }
    return book;
  }

  private static AlertInput input(String row) {
    return Objects.requireNonNull(ROWS.get(row), row);
  }

  @Test
  void everyRowHasAnInputEveryInputHasARowAndEveryStateAColumn() {
    assertThat(TABLE.rows().keySet()).isEqualTo(ROWS.keySet());
    Set<Class<?>> tested = new HashSet<>();
    ROWS.values().forEach(row -> tested.add(row.getClass()));
    Set<Class<?>> all = new HashSet<>(Set.of(AlertInput.HoldReleased.class));
    all.addAll(Set.of(AlertInput.OfKey.class.getPermittedSubclasses()));
    assertThat(tested).isEqualTo(all);
    assertThat(TABLE.columns().stream().map(column -> state(in(column))).distinct())
        .containsExactlyInAnyOrder(AlertState.values());
  }

  @TestFactory
  Stream<DynamicTest> anAlertDoesWhatTheTableSays() {
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
    AlertBook before = in(column);
    AlertBook.Step step = before.step(input(row), Cell4.AT);
    if (cell.equals("=")) {
      assertThat(step.next()).isEqualTo(before);
      assertThat(step.changed()).isEmpty();
      assertThat(step.code().filter(code -> code != AnswerCode.ACCEPTED)).isEmpty();
    } else if (cell.startsWith("x ")) {
      assertThat(step.code().map(AnswerCode::key)).contains(cell.substring(2));
      assertThat(step.next()).isEqualTo(before);
      assertThat(step.changed()).isEmpty();
    } else {
      assertThat(like(step.next())).isEqualTo(like(in(cell)));
      assertThat(step.code().filter(code -> code != AnswerCode.ACCEPTED)).isEmpty();
      assertThat(step.changed()).hasSize(1);
      assertThat(step.changed().get(0).state()).isEqualTo(state(in(cell)));
    }
  }

  /** What tells the columns apart: state, holds, and whether its cause stands and was seen. */
  private static String like(AlertBook book) {
    return book.alerts().values().stream()
        .map(a -> a.view().state() + " " + a.view().holds() + " " + a.standing() + hidden(a))
        .findFirst()
        .orElse("none");
  }

  /** Where seen decides what comes next; set aside, what stands is seen anew in any case. */
  private static String hidden(Alert alert) {
    return alert.standing() ? "" : " " + alert.seen();
  }

  private static AlertState state(AlertBook book) {
    return book.views().stream().map(AlertView::state).findFirst().orElse(AlertState.NORMAL);
  }
}
