package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.hold.Reason;
import org.junit.jupiter.api.Test;

/** A journal that has no room, and one that has not even its reserve. */
class JournalBehindTest {
  private final LoopBench bench = new LoopBench();

  @Test
  void withoutRoomNoReadingIsTakenAndThePermitIsWithheldUntilThereIsRoomAgain() throws Exception {
    bench.startToPermit();
    long before = bench.journal.lastSeq();
    bench.journal.room = false;
    bench.take(Shift.bore("bore-1", "62.010 mm"));
    assertThat(bench.inbox.waiting()).isEqualTo(1);
    assertThat(bench.journal.kindsAfter(before))
        .containsExactly(
            "journal-changed", "alert-changed", "alert-changed", "hold-changed", "hold-changed");
    assertThat(bench.last().permit()).isFalse();
    assertThat(bench.last().image().reason()).isEqualTo(Reason.JOURNAL);

    bench.journal.room = true;
    bench.turn();
    bench.turn();
    assertThat(bench.inbox.waiting()).isZero();
    assertThat(bench.last().permit()).isFalse();
    bench.sync();
    assertThat(bench.last().permit()).isTrue();
    assertThat(bench.journal.kindsAfter(before)).contains("bore-judged");
  }

  @Test
  void withoutAReserveNothingIsTakenNotEvenWhatIsDueAndNothingIsLost() throws Exception {
    bench.startToPermit();
    bench.take(Shift.bore("bore-1", "62.031 mm"));
    bench.journal.room = false;
    bench.turn();
    long before = bench.journal.lastSeq();
    bench.journal.reserve = false;
    bench.inbox.put(Shift.bore("bore-1", "62.011 mm"));
    // An ack that is overdue, a beat that is late, a clock that steps, a grant that is synced.
    bench.wallMillis.addAndGet(7_000);
    bench.pass(Duration.ofSeconds(10));
    bench.sync();
    for (int i = 0; i < 3; i++) {
      bench.pass(LoopBench.BEAT);
      bench.turn();
    }
    assertThat(bench.journal.lastSeq()).isEqualTo(before);
    assertThat(bench.inbox.waiting()).isEqualTo(1);
    assertThat(bench.last().permit()).isFalse();

    bench.journal.reserve = true;
    bench.turn();
    assertThat(bench.journal.kindsAfter(before))
        .contains("clock-stepped", "timer-fired")
        .doesNotContain("reading-taken");
    bench.journal.room = true;
    bench.turn();
    bench.turn();
    assertThat(bench.journal.kindsAfter(before)).contains("reading-taken");
  }

  @Test
  void aSyncedGrantWaitsForTheReserve() throws Exception {
    bench.take(Shift.started(7, true));
    bench.take(new Event.RulesLoaded(Shift.RULES));
    bench.take(Shift.port("port-a", true));
    bench.take(new Event.LinkChanged("cell-4", true, ""));
    bench.journal.reserve = false;
    long grant = bench.journal.lastSeq();
    bench.loop.durable(grant);
    bench.turn();
    assertThat(bench.journal.lastSeq()).isEqualTo(grant);
    assertThat(bench.shown).noneMatch(LoopBench.Shown::permit);

    bench.journal.reserve = true;
    bench.turn();
    assertThat(bench.last().permit()).isTrue();
  }

  @Test
  void aReserveThatIsGoneBeforeItCouldBeSaidSilencesTheBeat() throws Exception {
    bench.startToPermit();
    bench.journal.reserve = false;
    int before = bench.shown.size();
    for (int i = 0; i < 4; i++) {
      bench.pass(LoopBench.BEAT);
      bench.turn();
    }
    assertThat(bench.shown).hasSize(before);

    bench.journal.reserve = true;
    bench.pass(LoopBench.BEAT);
    bench.turn();
    assertThat(bench.shown.size()).isGreaterThan(before);
  }
}
