package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;

/** Whether a part is in front of a gauge, as the cells say it on the way to the loop. */
class PartGatesTest {
  private final List<Event> door = new ArrayList<>();
  private final PartGates gates =
      new PartGates(
          new EventSink() {
            @Override
            public void put(Event event) {
              door.add(event);
            }

            @Override
            public boolean offer(Event event) {
              door.add(event);
              return door.size() < 3;
            }
          });

  @Test
  void aPartIsAtTheGaugeOfTheCellThatSaysSoUntilItSaysOtherwise() throws Exception {
    assertThat(gates.test("cell-4")).as("a cell that was never heard").isFalse();
    gates.put(reported("cell-4", true));
    assertThat(gates.test("cell-4")).isTrue();
    assertThat(gates.test("cell-5")).isFalse();
    gates.offer(reported("cell-4", false));
    assertThat(gates.test("cell-4")).isFalse();
  }

  @Test
  void aCellWhoseLinkIsLostHasNoPartAtItsGaugeThatAnybodyKnowsOf() throws Exception {
    gates.put(reported("cell-4", true));
    gates.put(reported("cell-5", true));
    gates.put(new Event.LinkChanged("cell-4", true, "up"));
    assertThat(gates.test("cell-4")).as("a link that came back loses nothing").isTrue();
    gates.put(new Event.LinkChanged("cell-4", false, "lost"));
    assertThat(gates.test("cell-4")).isFalse();
    assertThat(gates.test("cell-5")).as("another cell").isTrue();
    gates.put(new Event.LinkChanged("cell-4", true, "up"));
    assertThat(gates.test("cell-4")).as("until it says it again").isFalse();
  }

  @Test
  void allThatIsHeardGoesOnToTheLoopAndItsAnswerBack() throws Exception {
    Event first = reported("cell-4", true);
    Event second = new Event.ClockStepped(7);
    gates.put(first);
    assertThat(gates.offer(second)).isTrue();
    assertThat(gates.offer(second)).as("a full inbox").isFalse();
    assertThat(door).containsExactly(first, second, second);
  }

  private static Event reported(String cell, boolean partAtGauge) {
    return new Event.CellReported(
        cell,
        new CellReport(
            true,
            true,
            false,
            false,
            false,
            false,
            false,
            partAtGauge,
            false,
            0,
            Optional.empty(),
            OptionalInt.of(1),
            Optional.empty(),
            0,
            PartContext.NONE));
  }
}
