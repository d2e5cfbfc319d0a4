package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What is in doubt about the journal withholds the permit until it is over and recorded. */
class JournalDoubtTest {
  private final LoopBench bench = new LoopBench();
  private int commands;

  @BeforeEach
  void permit() throws Exception {
    bench.startToPermit();
    beat();
    assertThat(bench.last().permit()).isTrue();
  }

  @Test
  void aFullOutboxWithholdsThePermitUntilItIsOverAndRecorded() throws Exception {
    bench.loop.outboxFull(Optional.of("4100 MiB, at most 4096 MiB"));
    bench.turn();
    assertThat(bench.last().permit()).isFalse();
    assertThat(bench.last().image().hold().conditions())
        .extracting(c -> c.reason().key() + "/" + c.subject().orElse(""))
        .containsExactly("journal/outbox-full");
    bench.loop.outboxFull(Optional.empty());
    bench.turn();
    beat();
    assertThat(bench.last().permit()).as("before it is synced").isFalse();
    bench.sync();
    bench.sync();
    beat();
    assertThat(bench.last().permit()).isTrue();
  }

  @Test
  void aJournalThatIsNotAdoptedGivesNoPermitUntilAPersonAdoptsIt() throws Exception {
    bench.take(new Event.JournalDoubted("not-adopted", true, "it was restored from a back-up"));
    bench.sync();
    assertThat(bench.last().permit()).isFalse();
    assertThat(answer(new Order.AdoptJournal("restored"))).isEqualTo(AnswerCode.ACCEPTED);
    bench.sync();
    bench.sync();
    beat();
    assertThat(bench.last().permit()).isTrue();
    assertThat(answer(new Order.AdoptJournal("restored"))).isEqualTo(AnswerCode.NOTHING_HELD);
  }

  @Test
  void onlyEntriesThatAreThereAreSentAgainAndNotTooMany() throws Exception {
    long last = bench.journal.lastSeq();
    assertThat(answer(new Order.SendAgain(1, last))).isEqualTo(AnswerCode.ACCEPTED);
    assertThat(answer(new Order.SendAgain(3, 2))).isEqualTo(AnswerCode.MALFORMED);
    assertThat(answer(new Order.SendAgain(1, last + 1_000))).isEqualTo(AnswerCode.MALFORMED);
  }

  private void beat() throws Exception {
    bench.pass(Duration.ofMillis(250));
    bench.turn();
  }

  private AnswerCode answer(Order order) throws Exception {
    commands++;
    bench.take(
        new Event.CommandGiven(
            new Command(
                "id-" + commands,
                Role.IT,
                "user:it",
                Optional.of("o-adeyemi"),
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                order)));
    List<Decision> decisions = bench.stepped.get(bench.stepped.size() - 1).decisions();
    return decisions.stream()
        .filter(Decision.CommandAnswered.class::isInstance)
        .map(d -> ((Decision.CommandAnswered) d).code())
        .findFirst()
        .orElseThrow();
  }
}
