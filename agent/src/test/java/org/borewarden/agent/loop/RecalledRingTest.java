package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.tuple;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A certificate that turns out wrong is followed to the bores, months later, in the journal. */
class RecalledRingTest {
  private static final Length CERTIFIED = new Length(50_001_000_000L);
  private static final Length THREE_LARGER = new Length(50_004_000_000L);

  private final LoopBench bench = new LoopBench();
  private int commands;
  private Instant secondDay = Instant.EPOCH;

  @BeforeEach
  void twoDays() throws Exception {
    bench.startToPermit();
    bench.take(Shift.port("port-b", true));
    ring();
    // Of 50 +0.025/0: the first day's are the 1st to 3rd, the second day's the 4th to 6th.
    bore("50.010", "50.012");
    bore("50.023", "50.020");
    bore("50.021", "50.022");
    bench.pass(Duration.ofDays(1));
    secondDay = Instant.ofEpochMilli(bench.wallMillis.get());
    bore("50.024", "50.022");
    bore("49.998", "50.001");
    bore("50.000", "50.004");
  }

  /** Bores are 3 um larger than was read: those that read 23 um and more are too large. */
  @Test
  void theBoresWhoseVerdictChangesAreListedWithTheSizeThatTheyHad() throws Exception {
    RecalledRing.Recalled recalled = recall(Instant.EPOCH, THREE_LARGER);

    assertThat(recalled.again().differences()).isZero();
    assertThat(recalled.believed()).hasSize(1);
    RecalledRing.Believed believed = recalled.believed().get(0);
    assertThat(believed.certified()).isEqualTo(CERTIFIED);
    assertThat(believed.bores()).isEqualTo(6);
    assertThat(believed.changed())
        .extracting(s -> s.bore().part(), s -> s.bore().verdict(), s -> s.verdict().orElseThrow())
        .containsExactly(
            tuple(2L, Verdict.WITHIN, Verdict.OVERSIZE),
            tuple(4L, Verdict.WITHIN, Verdict.OVERSIZE),
            tuple(5L, Verdict.UNDERSIZE, Verdict.WITHIN));
  }

  @Test
  void boresBeforeTheDayAreLeftOut() throws Exception {
    assertThat(recall(secondDay, THREE_LARGER).believed().get(0).changed())
        .extracting(s -> s.bore().part())
        .containsExactly(4L, 5L);
  }

  @Test
  void aRingThatWasAsCertifiedChangesNothing() throws Exception {
    assertThat(recall(Instant.EPOCH, CERTIFIED).believed().get(0).changed()).isEmpty();
  }

  @Test
  void aBoreThatWasTakenBackIsNotListed() throws Exception {
    order(new Order.Discard("sleeve", Optional.empty(), "chip in the bore"));
    assertThat(recall(Instant.EPOCH, THREE_LARGER).believed().get(0).bores()).isEqualTo(5);
  }

  @Test
  void noBoreRestedOnAnotherRing() throws Exception {
    assertThat(
            RecalledRing.in(bench.journal, Shift::kept, "R62", Instant.EPOCH, CERTIFIED).believed())
        .isEmpty();
  }

  private RecalledRing.Recalled recall(Instant since, Length truly) throws Exception {
    return RecalledRing.in(bench.journal, Shift::kept, "R50", since, truly);
  }

  private void ring() throws InterruptedException {
    order(new Order.RingCheck("bore-3", Optional.empty()));
    bench.take(Shift.bore("bore-3", "50.001 mm"));
    bench.take(Shift.bore("bore-3", "50.001 mm"));
    bench.sync();
  }

  /** A reading at each of the two places of the sleeve's plan; an out one is read twice more. */
  private void bore(String first, String second) throws InterruptedException {
    bench.take(Shift.bore("bore-3", first + " mm"));
    if (first.startsWith("49")) {
      bench.take(Shift.bore("bore-3", first + " mm"));
      bench.take(Shift.bore("bore-3", first + " mm"));
    }
    bench.take(Shift.bore("bore-3", second + " mm"));
    bench.sync();
  }

  private void order(Order order) throws InterruptedException {
    commands++;
    bench.take(
        new Event.CommandGiven(
            new Command(
                "id-" + commands,
                Role.QUALITY,
                "user:quality",
                Optional.of("m-lindqvist"),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                order)));
    bench.sync();
  }
}
