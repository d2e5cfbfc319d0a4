package org.borewarden.agent.publish.mqtt;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.stream.LongStream;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.mqtt.LinkState;
import org.borewarden.agent.mqtt.OutMessage;
import org.borewarden.agent.mqtt.PublishResult;
import org.borewarden.agent.mqtt.PublishResult.Outcome;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.junit.jupiter.api.Test;

/** Brokers that close the connection at a row, after they refused it, as mosquitto 2.0.11 does. */
class RecordWindowTest {
  private static final int DENIED = 0x87;
  private static final int MOST_PROBES = 100;
  private static final long RETRY_NANOS = 1_000_000_000;

  private long now;
  private final FakeOutbox outbox = new FakeOutbox();
  private final List<Long> sent = new ArrayList<>();
  private final RecordWindow window =
      new RecordWindow(
          new Way(),
          outbox,
          new Envelope("cell-4", "journal"),
          new Topics("w"),
          new RecordLimits(4096, Optional.empty()),
          () -> now,
          state(0, false),
          (delivers, detail) -> {});
  private int forgiven;
  private long connection;

  /** Writes down. */
  private final class Way implements RecordWindow.Way {
    @Override
    public void send(long on, long seq, OutMessage message) {
      sent.add(seq);
    }

    @Override
    public void forgive() {
      forgiven++;
    }
  }

  @Test
  void whereABrokerTakesOthersARefusedRowDoesNotDelayTheNextConnection() throws Exception {
    long first = outbox.add("alert/denied", 1);
    for (int n = 1; n <= Refusals.TRIES; n++) {
      assertThat(outbox.aside()).isEmpty();
      refuseAndClose(first, true);
      assertThat(forgiven).isEqualTo(n);
    }
    assertThat(outbox.aside()).containsOnlyKeys(first);
    // The topic is known to be denied: the next row costs one connection and not three.
    long next = outbox.add("alert/denied", 1);
    refuseAndClose(next, true);
    assertThat(outbox.aside()).containsOnlyKeys(first, next);
    assertThat(forgiven).isEqualTo(Refusals.TRIES + 1);
  }

  @Test
  void aBrokerThatTakesNothingAtAllIsCalledLessAndLessOften() throws Exception {
    outbox.add("alert/denied", 1);
    for (int n = 0; n < Refusals.TRIES; n++) {
      refuseAndClose(1, false);
    }
    assertThat(outbox.aside()).containsOnlyKeys(1L);
    assertThat(forgiven).isZero();
  }

  @Test
  void aRowAtWhichABrokerClosesThreeTimesIsTriedBehindOneThenSixteenThenSixtyFourProbes()
      throws Exception {
    long poison = outbox.add("verdict/f1", 1);
    List<Long> probes = new ArrayList<>();
    for (int times = 0; times < 4; times++) {
      connect();
      now += RETRY_NANOS;
      answerProbesUntil(poison);
      probes.add(sent.stream().filter(seq -> seq == RecordWindow.PROBE).count());
      window.linkChanged(state(connection, false));
    }
    assertThat(probes).containsExactly(0L, 1L, 16L, 64L);
    assertThat(outbox.aside()).containsOnlyKeys(poison);
    assertThat(forgiven).isEqualTo(1);
  }

  @Test
  void whileARowAtWhichABrokerClosesWaitsForItsTurnOnlyItsTopicWaits() throws Exception {
    long poison = outbox.add("verdict/f1", 1);
    connect();
    answerProbesUntil(poison);
    window.linkChanged(state(connection, false));
    connect();
    answerProbesUntil(poison);
    window.linkChanged(state(connection, false));

    long behind = outbox.add("verdict/f1", 1);
    long other = outbox.add("verdict/f2", 1);
    long another = outbox.add("verdict/f2", 1);
    now += RETRY_NANOS;
    connect();
    answerProbesUntil(other);
    window.answered(connection, other, result(Outcome.ACCEPTED));
    window.fill();
    assertThat(sent).contains(another).doesNotContain(poison, behind);

    now += RETRY_NANOS;
    window.fill();
    assertThat(sent).as("while another is under way").doesNotContain(poison);
    long late = outbox.add("verdict/f3", 1);
    window.answered(connection, another, result(Outcome.ACCEPTED));
    answerProbesUntil(poison);
    assertThat(sent).doesNotContain(late, behind);
    window.linkChanged(state(connection, false));

    connect();
    answerProbesUntil(late);
    window.answered(connection, late, result(Outcome.ACCEPTED));
    now += RETRY_NANOS;
    answerProbesUntil(poison);
    window.answered(connection, poison, result(Outcome.ACCEPTED));
    answerProbesUntil(behind);
    assertThat(outbox.aside()).isEmpty();
  }

  @Test
  void aRowThatTheBrokerSaysItCannotTakeWhenItsTurnHasComeIsSetAside() throws Exception {
    long poison = outbox.add("verdict/f1", 1);
    for (int times = 0; times < 2; times++) {
      connect();
      answerProbesUntil(poison);
      window.linkChanged(state(connection, false));
    }
    connection++;
    sent.clear();
    window.linkChanged(
        new LinkState("record", true, "", Optional.empty(), connection, 4, OptionalLong.of(1), 0));
    now += RETRY_NANOS;
    window.fill();
    while (outbox.aside().isEmpty()) {
      window.answered(connection, RecordWindow.PROBE, result(Outcome.ACCEPTED));
      window.fill();
    }
    assertThat(outbox.aside().get(poison)).contains("the broker takes 1");
    assertThat(sent).doesNotContain(poison);
  }

  @Test
  void theRowsThatWereUnderWayAtALossGoOneByOne() throws Exception {
    connect();
    for (int n = 0; n < 4; n++) {
      outbox.add("verdict/f" + n, 1);
    }
    window.fill();
    assertThat(sent).containsExactly(1L, 2L, 3L, 4L);
    window.linkChanged(state(connection, false));
    outbox.add("verdict/f5", 1);
    outbox.add("verdict/f6", 1);
    connect();
    answerProbesUntil(1);
    for (long row = 1; row < 4; row++) {
      assertThat(sent).containsExactlyElementsOf(LongStream.rangeClosed(0, row).boxed().toList());
      window.answered(connection, row, result(Outcome.ACCEPTED));
      window.fill();
    }
    window.answered(connection, 4, result(Outcome.ACCEPTED));
    window.fill();
    assertThat(sent).endsWith(4L, 5L, 6L);
  }

  @Test
  void aRowAtWhichTheJournalCouldNotBeReadGoesBeforeTheNextOfItsTopic() throws Exception {
    connect();
    outbox.add("alert/f1", 1);
    outbox.fail(2);
    for (int failed = 0; failed < 2; failed++) {
      assertThatThrownBy(window::fill).isInstanceOf(JournalException.class);
      assertThat(window.awaitsAnswer()).isFalse();
      assertThat(window.hasRows()).as("tried again without an answer of the broker").isTrue();
      outbox.add("alert/f1", 1);
    }
    window.fill();
    assertThat(sent).containsExactly(1L, 2L, 3L);
  }

  @Test
  void aRowThatGoesAloneIsNotStrandedByAReadThatFails() throws Exception {
    long alone = outbox.add("alert/f1", 1);
    connect();
    window.fill();
    window.linkChanged(state(connection, false));
    long other = outbox.add("verdict/f2", 1);
    connect();
    window.fill();
    window.answered(connection, RecordWindow.PROBE, result(Outcome.ACCEPTED));
    outbox.fail(1);
    assertThatThrownBy(window::fill).isInstanceOf(JournalException.class);
    now += RETRY_NANOS;
    window.fill();
    assertThat(sent).containsExactly(RecordWindow.PROBE, alone);
    window.answered(connection, alone, result(Outcome.ACCEPTED));
    window.fill();
    assertThat(sent).endsWith(other);
  }

  /** Called behind sixteen probes; the control is the one before it, which has no failed read. */
  @Test
  void aCalledRowIsNotStrandedByAReadThatFails() throws Exception {
    long poison = outbox.add("alert/f1", 1);
    for (int times = 0; times < 2; times++) {
      connect();
      now += RETRY_NANOS;
      answerProbesUntil(poison);
      window.linkChanged(state(connection, false));
    }
    connect();
    now += RETRY_NANOS;
    outbox.fail(1);
    assertThatThrownBy(() -> answerProbesUntil(poison)).isInstanceOf(JournalException.class);
    assertThat(sent).doesNotContain(poison);
    window.fill();
    assertThat(sent).endsWith(poison);
    window.answered(connection, poison, result(Outcome.ACCEPTED));
    long next = outbox.add("alert/f1", 1);
    window.fill();
    assertThat(sent).endsWith(next);
    assertThat(outbox.aside()).isEmpty();
  }

  @Test
  void rowsThatWaitBehindARefusedOneGoOutOnceThoughAllAreReadAgain() throws Exception {
    connect();
    long refused = outbox.add("verdict/f1", 1);
    window.fill();
    window.answered(connection, refused, result(Outcome.REFUSED));
    long behind = outbox.add("verdict/f1", 1);
    window.fill();
    outbox.sendAgain(behind, behind);
    window.fill();
    outbox.sendAgain(behind, behind);
    window.fill();
    now += RETRY_NANOS;
    window.fill();
    window.answered(connection, refused, result(Outcome.ACCEPTED));
    window.fill();
    window.fill();
    assertThat(sent).containsExactly(refused, refused, behind);
  }

  private void connect() {
    connection++;
    sent.clear();
    window.linkChanged(state(connection, true));
  }

  private void answerProbesUntil(long row) throws JournalException {
    window.fill();
    for (int probes = 0; probes < MOST_PROBES && !sent.contains(row); probes++) {
      window.answered(connection, RecordWindow.PROBE, result(Outcome.ACCEPTED));
      window.fill();
    }
    assertThat(sent).contains(row);
  }

  /** One connection, on which the broker takes probe and other rows, or nothing. */
  private void refuseAndClose(long row, boolean takesOthers) throws JournalException {
    connect();
    now += 2 * RETRY_NANOS;
    long other = takesOthers ? outbox.add("verdict/f1", 1) : Long.MAX_VALUE;
    window.fill();
    if (sent.contains(RecordWindow.PROBE)) {
      Outcome ofTheProbe = takesOthers ? Outcome.ACCEPTED : Outcome.REFUSED;
      window.answered(connection, RecordWindow.PROBE, result(ofTheProbe));
      window.fill();
    }
    if (sent.contains(other)) {
      window.answered(connection, other, result(Outcome.ACCEPTED));
    }
    assertThat(sent).contains(row);
    window.answered(connection, row, result(Outcome.REFUSED));
    window.linkChanged(state(connection, false));
  }

  private static PublishResult result(Outcome outcome) {
    return new PublishResult(outcome, outcome == Outcome.REFUSED ? DENIED : 0, "", 1);
  }

  private static LinkState state(long connection, boolean connected) {
    return new LinkState(
        "record", connected, "", Optional.empty(), connection, 4, OptionalLong.empty(), 0);
  }
}
