package org.borewarden.agent.publish.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.Optional;
import org.borewarden.agent.journal.Entry;
import org.junit.jupiter.api.Test;

class RefusalsTest {
  private static final int QUOTA = 0x97;
  private static final int UNSAID = 0x80;
  private static final int DENIED = 0x87;
  private static final long SECOND = 1_000_000_000L;

  private final Refusals refusals = new Refusals();

  @Test
  void aRowIsTriedThreeTimesWithGrowingWaits() {
    Entry row = row(1, "a");
    assertThat(refusals.refused(row, UNSAID, 0)).isFalse();
    assertThat(refusals.dueRow(SECOND / 2 - 1)).isEmpty();
    assertThat(refusals.dueRow(SECOND / 2)).contains(row);
    assertThat(refusals.refused(row, UNSAID, SECOND)).isFalse();
    assertThat(refusals.dueRow(2 * SECOND - 1)).isEmpty();
    assertThat(refusals.dueRow(2 * SECOND)).contains(row);
    assertThat(refusals.refused(row, UNSAID, 3 * SECOND)).isTrue();
  }

  /** The older one is read again from the outbox, so the younger one must be too. */
  @Test
  void afterALossARefusedRowDoesNotGoBeforeAnOlderOneOfItsTopicThatMetAQuota() {
    refusals.refused(row(7, "a"), QUOTA, 0);
    refusals.refused(row(8, "a"), UNSAID, 0);
    refusals.refused(row(9, "b"), UNSAID, 0);
    refusals.lost();
    refusals.connected(0);
    assertThat(refusals.dueRow(2 * SECOND)).contains(row(9, "b"));
    assertThat(refusals.dueRow(2 * SECOND)).isEmpty();
    assertThat(refusals.isOpen(row(8, "a"))).isFalse();
  }

  @Test
  void onlyRowsOfItsOwnTopicWaitBehindARefusedOneAndInOrder() {
    refusals.refused(row(1, "a"), UNSAID, 0);
    assertThat(refusals.holdsBack(row(2, "b"))).isFalse();
    assertThat(refusals.holdsBack(row(3, "a"))).isTrue();
    refusals.waitBehind(row(3, "a"));
    refusals.waitBehind(row(4, "a"));
    assertThat(refusals.dueRow(SECOND)).contains(row(1, "a"));
    assertThat(refusals.dueRow(SECOND)).as("while it is tried again").isEmpty();
    refusals.taken(row(1, "a"));
    assertThat(refusals.dueRow(SECOND)).contains(row(3, "a"));
    assertThat(refusals.dueRow(SECOND)).contains(row(4, "a"));
    assertThat(refusals.anyWait()).isFalse();
  }

  @Test
  void onceATopicIsKnownToBeDeniedItsRowsAreTriedOnce() {
    Entry first = row(1, "a");
    for (int n = 0; n < 2; n++) {
      assertThat(refusals.refused(first, DENIED, 0)).isFalse();
    }
    assertThat(refusals.refused(first, DENIED, 0)).isTrue();
    refusals.gone(first);
    assertThat(refusals.refused(row(2, "a"), DENIED, 0)).isTrue();
    assertThat(refusals.refused(row(3, "b"), DENIED, 0)).isFalse();
  }

  @Test
  void whileAQuotaKeepsOutAllRowsNoneIsGivenUp() {
    Entry row = row(1, "a");
    long now = 0;
    for (int n = 0; n < 1_000; n++) {
      assertThat(refusals.refused(row, QUOTA, now)).as("refusal %s", n).isFalse();
      now += 30 * SECOND;
      assertThat(refusals.dueRow(now)).as("after 30 s").contains(row);
    }
  }

  @Test
  void aRowThatAQuotaKeepsOutWhileOthersAreTakenIsGivenUpAfterAMinute() {
    Entry row = row(1, "a");
    long now = 0;
    int refused = 0;
    boolean givenUp = false;
    while (!givenUp) {
      givenUp = refusals.refused(row, QUOTA, now);
      refused++;
      refusals.taken(row(100 + refused, "b"));
      while (!givenUp && refusals.dueRow(now).isEmpty()) {
        now += SECOND / 2;
      }
    }
    assertThat(refused).isEqualTo(Refusals.QUOTA_TRIES);
    assertThat(now / SECOND).isBetween(60L, 65L);
  }

  @Test
  void aRefusedRowKeepsItsWaitWhenTheConnectionIsLostAndWhatWaitsBehindItIsReadAgain() {
    Entry row = row(1, "a");
    refusals.refused(row, UNSAID, 0);
    refusals.waitBehind(row(2, "a"));
    refusals.lost();
    assertThat(refusals.isOpen(row)).isTrue();
    assertThat(refusals.holdsBack(row(2, "a"))).isTrue();
    assertThat(refusals.dueRow(SECOND / 2 - 1)).isEmpty();
    assertThat(refusals.dueRow(SECOND / 2)).contains(row);
    refusals.lost();
    assertThat(refusals.dueRow(SECOND / 2)).as("under way when it was lost").contains(row);
    refusals.refused(row, UNSAID, SECOND);
    assertThat(refusals.refused(row, UNSAID, SECOND)).isTrue();
    refusals.gone(row);
    assertThat(refusals.anyWait()).isFalse();
  }

  @Test
  void aNewConnectionServesTheOthersFirst() {
    refusals.refused(row(1, "a"), UNSAID, 0);
    refusals.closedAt(row(2, "b"), 0);
    refusals.lost();
    refusals.connected(9 * SECOND);
    assertThat(refusals.dueRow(9 * SECOND + SECOND / 2 - 1)).isEmpty();
    assertThat(refusals.dueAlone(9 * SECOND + SECOND / 2 - 1)).isEmpty();
    assertThat(refusals.dueRow(9 * SECOND + SECOND / 2)).contains(row(1, "a"));
    assertThat(refusals.dueAlone(9 * SECOND + SECOND / 2)).contains(row(2, "b"));
  }

  @Test
  void aRowRefusedForAQuotaIsReadAgainWhenTheConnectionIsLost() {
    refusals.refused(row(1, "a"), QUOTA, 0);
    assertThat(refusals.anyWait()).isTrue();
    refusals.lost();
    assertThat(refusals.anyWait()).isFalse();
  }

  @Test
  void aRowAtWhichTheBrokerClosedWaitsForItsTurnAlone() {
    Entry row = row(1, "a");
    assertThat(refusals.closedAt(row, 0)).isFalse();
    refusals.lost();
    assertThat(refusals.dueAlone(SECOND / 2 - 1)).isEmpty();
    assertThat(refusals.dueRow(SECOND)).isEmpty();
    assertThat(refusals.dueAlone(SECOND / 2)).contains(row);
    refusals.refused(row, UNSAID, SECOND);
    assertThat(refusals.dueRow(2 * SECOND)).as("still alone").isEmpty();
    assertThat(refusals.closedAt(row, 2 * SECOND)).isFalse();
    assertThat(refusals.closes(row)).isEqualTo(2);
    assertThat(refusals.closedAt(row, 4 * SECOND)).isTrue();
    refusals.gone(row);
    assertThat(refusals.closes(row)).isZero();
  }

  @Test
  void aDeniedTopicIsStillKnownAfterALostConnectionUntilARowOfItIsTaken() {
    Entry first = row(1, "a");
    for (int n = 0; n < Refusals.TRIES; n++) {
      refusals.refused(first, DENIED, 0);
      refusals.lost();
    }
    refusals.gone(first);
    assertThat(refusals.refused(row(2, "a"), DENIED, 0)).isTrue();
    refusals.taken(row(3, "a"));
    assertThat(refusals.refused(row(4, "a"), DENIED, 0)).isFalse();
  }

  private static Entry row(long seq, String topic) {
    return new Entry(seq, seq, Instant.EPOCH, "test", Optional.of(topic), 0, "r1", "{}");
  }
}
