package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.CellPolicy;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.hold.Reason;
import org.junit.jupiter.api.Test;

/** What the loop shows and when, turn by turn. */
class LoopTest {
  private static final Event OUT_OF_LIMIT = Shift.bore("bore-1", "62.031 mm");

  private final LoopBench bench = new LoopBench();

  @Test
  void aRaiseIsShownBeforeItsRecordIsHandedToTheJournal() throws Exception {
    bench.startToPermit();
    List<Boolean> permitAtAppend = new ArrayList<>();
    bench.journal.onAppend = () -> permitAtAppend.add(bench.last().permit());
    long synced = bench.journal.lastSeq();

    bench.take(OUT_OF_LIMIT);

    assertThat(permitAtAppend).containsExactly(false);
    assertThat(bench.last().image().reason()).isEqualTo(Reason.OVERSIZE);
    assertThat(bench.synced).noneMatch(turn -> turn.event().seq() > synced);
  }

  @Test
  void aPermitIsShownOnlyWhenItsRecordIsSynced() throws Exception {
    bench.take(Shift.started(7, true));
    bench.take(new Event.RulesLoaded(Shift.RULES));
    bench.take(Shift.port("port-a", true));
    bench.take(new Event.LinkChanged("cell-4", true, ""));
    long grant = bench.journal.lastSeq();
    bench.loop.durable(grant - 1);
    bench.turn();
    assertThat(bench.shown).isNotEmpty().noneMatch(LoopBench.Shown::permit);

    bench.loop.durable(grant);
    bench.turn();
    assertThat(bench.journal.kindsAfter(grant)).startsWith("grant-synced");
    assertThat(bench.last().permit()).isTrue();
  }

  @Test
  void aGrantThatSomethingNewHasOvertakenGivesNothing() throws Exception {
    bench.take(Shift.started(7, true));
    bench.take(new Event.RulesLoaded(Shift.RULES));
    bench.take(Shift.port("port-a", true));
    bench.take(new Event.LinkChanged("cell-4", true, ""));
    long grant = bench.journal.lastSeq();
    bench.take(Shift.port("port-a", false));
    bench.loop.durable(grant);
    bench.turn();
    assertThat(bench.journal.kindsAfter(grant)).contains("grant-synced");
    assertThat(bench.shown).noneMatch(LoopBench.Shown::permit);
  }

  @Test
  void anAnswerIsLetOutWhenItIsSyncedAndNotBefore() throws Exception {
    bench.startToPermit();
    int before = bench.synced.size();
    bench.take(OUT_OF_LIMIT);
    bench.turn();
    assertThat(bench.synced).hasSize(before);
    bench.sync();
    assertThat(bench.synced).hasSize(before + 1);
  }

  @Test
  void everyBeatIsOneMoreThanTheLastAndSkipsZero() throws Exception {
    bench.startToPermit();
    for (int i = 0; i < 65_540; i++) {
      bench.pass(LoopBench.BEAT);
      bench.turn();
      bench.stepped.clear();
    }
    List<Integer> beats = bench.shown.stream().map(LoopBench.Shown::beat).toList();
    for (int i = 1; i < beats.size(); i++) {
      assertThat(beats.get(i)).isEqualTo(beats.get(i - 1) == 65_535 ? 1 : beats.get(i - 1) + 1);
    }
    assertThat(beats).contains(65_535).doesNotContain(0);
  }

  @Test
  void aTurnWithinTheBeatPeriodGivesNoBeat() throws Exception {
    bench.startToPermit();
    int before = bench.shown.size();
    bench.pass(Duration.ofMillis(249));
    bench.turn();
    assertThat(bench.shown).hasSize(before);
    bench.pass(Duration.ofMillis(1));
    bench.turn();
    assertThat(bench.shown).hasSize(before + 1);
  }

  @Test
  void aLateBeatWithholdsThePermitUntilOneInTimeIsSynced() throws Exception {
    bench.startToPermit();
    bench.pass(Duration.ofMillis(1001));
    bench.turn();
    assertThat(bench.last().permit()).isFalse();
    assertThat(bench.last().image().reason()).isEqualTo(Reason.STALL);

    bench.pass(LoopBench.BEAT);
    bench.turn();
    assertThat(bench.last().permit()).isFalse();
    bench.sync();
    assertThat(bench.last().permit()).isTrue();
  }

  @Test
  void aJournalThatFailsWithholdsThePermitInTheNextTurn() throws Exception {
    bench.startToPermit();
    bench.loop.failed("disk full");
    bench.turn();
    assertThat(bench.last().permit()).isFalse();
    assertThat(bench.last().image().reason()).isEqualTo(Reason.JOURNAL);

    bench.loop.recovered();
    bench.turn();
    assertThat(bench.last().permit()).isFalse();
    bench.sync();
    assertThat(bench.last().permit()).isTrue();
  }

  @Test
  void aStepOfTheWallClockIsAnEventAndASmallDriftIsNone() throws Exception {
    bench.startToPermit();
    long before = bench.journal.lastSeq();
    bench.wallMillis.addAndGet(999);
    bench.turn();
    assertThat(bench.journal.kindsAfter(before)).isEmpty();
    bench.wallMillis.addAndGet(-3_601_000);
    bench.turn();
    assertThat(bench.journal.kindsAfter(before)).containsExactly("clock-stepped");
    assertThat(bench.stepped.get(bench.stepped.size() - 1).event().event())
        .isEqualTo(new Event.ClockStepped(-3_600_001));
  }

  @Test
  void forTenMinutesAfterAStepTheCellsAreToldThatTheClockIsUnsure() throws Exception {
    bench.startToPermit();
    assertThat(bench.last().image().clockUnsure()).isFalse();
    bench.wallMillis.addAndGet(1_000);
    beat(LoopBench.BEAT);
    assertThat(bench.last().image().clockUnsure()).isTrue();
    assertThat(bench.last().permit()).as("it is told, and withholds nothing").isTrue();
    beat(Duration.ofMinutes(10).minus(LoopBench.BEAT));
    assertThat(bench.last().image().clockUnsure()).isTrue();
    beat(LoopBench.BEAT);
    assertThat(bench.last().image().clockUnsure()).isFalse();
  }

  private void beat(Duration later) throws InterruptedException {
    bench.pass(later);
    bench.turn();
  }

  @Test
  void anAckThatIsOverdueByTheMonotonicClockIsAnEvent() throws Exception {
    bench.startToPermit();
    bench.take(OUT_OF_LIMIT);
    long before = bench.journal.lastSeq();
    bench.nanos.addAndGet(Duration.ofMillis(9_900).toNanos());
    bench.turn();
    assertThat(bench.journal.kindsAfter(before)).doesNotContain("timer-fired");
    bench.nanos.addAndGet(Duration.ofMillis(100).toNanos());
    bench.turn();
    assertThat(bench.journal.kindsAfter(before)).containsOnlyOnce("timer-fired");
    bench.turn();
    assertThat(bench.journal.kindsAfter(before)).containsOnlyOnce("timer-fired");
  }

  @Test
  void aTimerRunsOutByTheWallClockTooSoThatASleepingMachineStretchesNothing() throws Exception {
    bench.startToPermit();
    bench.take(OUT_OF_LIMIT);
    long before = bench.journal.lastSeq();
    bench.wallMillis.addAndGet(10_000);
    bench.turn();
    assertThat(bench.journal.kindsAfter(before)).containsOnlyOnce("timer-fired");
  }

  @Test
  void aFaultOfOurOwnEndsTheBeatsUntilARestart() throws Exception {
    bench.startToPermit();
    int before = bench.shown.size();
    bench.take(faulty());
    for (int i = 0; i < 8; i++) {
      bench.pass(LoopBench.BEAT);
      bench.take(Shift.bore("bore-1", "62.010 mm"));
      bench.sync();
    }
    assertThat(bench.shown).hasSize(before);
    assertThat(bench.journal.kindsAfter(0)).filteredOn("bore-judged"::equals).hasSize(8);
  }

  @Test
  void aStopIsTheLastWordAndTheLoopEndsWhenItIsSynced() throws Exception {
    bench.take(Shift.started(7, true));
    bench.take(new Event.RulesLoaded(Shift.RULES));
    bench.take(Shift.port("port-a", true));
    bench.take(new Event.LinkChanged("cell-4", true, ""));
    bench.inbox.put(new Event.AgentStopped());
    bench.inbox.put(Shift.port("port-a", false));
    bench.turn();
    bench.loop.failed("closing");
    bench.pass(Duration.ofSeconds(3));
    bench.sync();
    assertThat(bench.journal.entries.get(bench.journal.entries.size() - 1).kind())
        .isEqualTo("agent-stopped");
    assertThat(bench.inbox.waiting()).isEqualTo(1);
    assertThat(bench.shown).noneMatch(LoopBench.Shown::permit);

    bench.loop.run();
    assertThat(bench.loop.awaitEnd(Duration.ZERO)).isTrue();
    assertThat(LoopBench.replayed(bench.journal).clean()).isTrue();
  }

  @Test
  void entriesAreGapFreeAndKnowTheirCauseTheirTopicAndTheirRules() throws Exception {
    bench.startToPermit();
    bench.take(OUT_OF_LIMIT);
    bench.take(Shift.bore("bore-1", "62.010 mm"));
    long event = 0;
    long expected = 0;
    Map<String, Long> last = new HashMap<>();
    for (Entry entry : bench.journal.entries) {
      assertThat(entry.seq()).isEqualTo(++expected);
      event = org.borewarden.agent.payload.EventCodec.isEvent(entry.kind()) ? entry.seq() : event;
      assertThat(entry.cause()).isEqualTo(event);
      if (entry.topic().isPresent()) {
        assertThat(entry.prev()).isEqualTo(last.getOrDefault(entry.topic().get(), 0L));
        last.put(entry.topic().get(), entry.seq());
      } else {
        assertThat(entry.prev()).isZero();
      }
    }
    assertThat(last.keySet())
        .contains("reading/bore-1", "verdict/bearing-seat", "alert/oversize.bearing-seat");
    assertThat(bench.journal.entries.get(0).rules()).isEmpty();
    assertThat(bench.journal.entries.get((int) event).rules()).isEqualTo(Shift.RULES.revision());
  }

  /** A start whose config names no date: a mistake of our own that the engine trips over. */
  static Event faulty() {
    CellPolicy policy =
        new CellPolicy(
            "cell-4",
            List.of(),
            List.of(),
            true,
            false,
            Duration.ofSeconds(10),
            false,
            java.util.Optional.of("no date"),
            java.util.Optional.empty(),
            java.util.Optional.empty());
    return new Event.AgentStarted("0.1.0", 8, "", true, List.of(policy), List.of());
  }
}
