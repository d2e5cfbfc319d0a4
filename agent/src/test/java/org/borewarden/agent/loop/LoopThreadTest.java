package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Event;
import org.junit.jupiter.api.Test;

/** The loop on a thread of its own, as the agent runs it. */
class LoopThreadTest {
  private static final long DEADLINE_SECONDS = 30;

  private final CountDownLatch entered = new CountDownLatch(1);
  private final CountDownLatch mayGoOn = new CountDownLatch(1);

  @Test
  void aLoopThatStandsStillGivesNoBeatAndThenSaysThatItStalled() throws Exception {
    LoopBench bench =
        new LoopBench(
            new FakeJournal(), Instant.parse("2026-05-05T08:00:00Z"), List.of(new Stuck()));
    bench.startToPermit();
    Thread thread = new Thread(bench.loop, "loop");
    thread.start();
    bench.inbox.put(Shift.bore("bore-1", "62.010 mm"));
    assertThat(entered.await(DEADLINE_SECONDS, TimeUnit.SECONDS)).isTrue();
    int before = bench.shown.size();
    bench.pass(Duration.ofSeconds(5));
    assertThat(bench.shown).hasSize(before);

    mayGoOn.countDown();
    bench.inbox.put(new Event.AgentStopped());
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(DEADLINE_SECONDS);
    while (!bench.loop.awaitEnd(Duration.ofMillis(10)) && System.nanoTime() < end) {
      bench.loop.durable(Long.MAX_VALUE);
    }
    thread.join();
    assertThat(bench.journal.kindsAfter(0)).contains("beat-changed");
    assertThat(bench.shown.subList(before, bench.shown.size()))
        .isNotEmpty()
        .noneMatch(LoopBench.Shown::permit);
  }

  /** Holds the loop where it tells of a reading. */
  private final class Stuck implements Outlet {
    @Override
    public void stepped(Turn turn) {
      if (turn.event().event() instanceof Event.ReadingTaken) {
        entered.countDown();
        try {
          if (!mayGoOn.await(DEADLINE_SECONDS, TimeUnit.SECONDS)) {
            throw new AssertionError("nobody let the loop go on");
          }
        } catch (InterruptedException e) {
          Thread.currentThread().interrupt();
        }
      }
    }

    @Override
    public void synced(Turn turn) {}
  }
}
