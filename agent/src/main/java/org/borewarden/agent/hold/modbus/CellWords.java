package org.borewarden.agent.hold.modbus;

import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;

/** Block B, read or refused. */
sealed interface CellWords {

  /**
   * Registers that are not believed.
   *
   * @param why a key for counting
   * @param detail what was expected and found
   */
  record Refused(String why, String detail) implements CellWords {}

  /**
   * A whole block.
   *
   * @param echo B1
   * @param word B2
   * @param heardNumber B3
   * @param heardKind B4
   * @param startCount B5
   * @param partsFinished B6, B7
   * @param partsToGauge B8
   * @param tool B9; 0 not named
   * @param spindle B11; 0 not named
   * @param fixture B12; 0 not named
   * @param serial B15 to B22; empty not named
   * @param contextNumber B23
   * @param contextWhole whether B27 agrees with it
   * @param requestNumber B24
   * @param request B25
   * @param argument B26
   */
  record Block(
      int echo,
      int word,
      int heardNumber,
      int heardKind,
      int startCount,
      long partsFinished,
      int partsToGauge,
      int tool,
      int spindle,
      int fixture,
      String serial,
      int contextNumber,
      boolean contextWhole,
      int requestNumber,
      int request,
      int argument)
      implements CellWords {
    /** A part counter of all ones says that the cell has none. */
    static final long NO_COUNTER = 0xFFFF_FFFFL;

    CellReport report(PartContext context) {
      return new CellReport(
          on(0),
          on(1),
          on(2),
          on(3),
          on(5),
          on(6),
          on(7),
          on(8),
          on(9),
          on(4) ? heardNumber : 0,
          on(4) ? kind() : Optional.empty(),
          OptionalInt.of(startCount),
          partsFinished == NO_COUNTER ? Optional.empty() : Optional.of(partsFinished),
          partsToGauge,
          context);
    }

    private boolean on(int bit) {
      return ((word >> bit) & 1) != 0;
    }

    private Optional<StopKind> kind() {
      return switch (heardKind) {
        case 1 -> Optional.of(StopKind.END_OF_PART);
        case 2 -> Optional.of(StopKind.NEXT_SAFE_POINT);
        default -> Optional.empty();
      };
    }

    /**
     * The part at the gauge. Its number in cutting order is the counter less the parts in between,
     * modulo 2^32; without a counter it has none.
     */
    PartContext context() {
      OptionalLong part =
          partsFinished == NO_COUNTER
              ? OptionalLong.empty()
              : OptionalLong.of((partsFinished - partsToGauge) & 0xFFFF_FFFFL);
      return new PartContext(
          part,
          Optional.of(serial).filter(s -> !s.isEmpty()),
          named(tool),
          named(spindle),
          named(fixture),
          Optional.empty(),
          Optional.empty());
    }

    static Optional<String> named(int number) {
      return number == 0 ? Optional.empty() : Optional.of(Integer.toString(number));
    }
  }
}
