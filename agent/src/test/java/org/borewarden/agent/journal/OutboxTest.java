package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class OutboxTest {
  @TempDir Path data;

  private final Heard heard = new Heard();
  private final Ledger ledger = new Ledger(3, 350);
  private JournalStore store;

  @BeforeEach
  void open() throws Exception {
    store = Stores.open(data);
    store.start(heard);
  }

  @AfterEach
  void close() {
    store.close();
  }

  @Test
  void onlyEntriesWithATopicWaitAndTheyWaitInOrder() throws Exception {
    List<Entry> entries = append(50);
    List<Entry> published = entries.stream().filter(e -> e.topic().isPresent()).toList();
    assertThat(published.size()).isLessThan(entries.size());
    Outbox outbox = store.outbox();
    assertThat(outbox.next(0, 1000)).isEqualTo(published);
    assertThat(outbox.waiting()).isEqualTo(published.size());
    assertThat(outbox.next(published.get(9).seq(), 5)).isEqualTo(published.subList(10, 15));
    assertThat(store.stats().outboxOldest()).contains(published.get(0).at());
  }

  @Test
  void anAcknowledgedRowIsNotGivenOutAgain() throws Exception {
    List<Entry> published = published(append(10));
    Outbox outbox = store.outbox();
    outbox.acknowledged(published.get(0).seq());
    outbox.acknowledged(published.get(2).seq());
    outbox.acknowledged(published.get(2).seq());
    assertThat(outbox.next(0, 2)).containsExactly(published.get(1), published.get(3));
    assertThat(outbox.waiting()).isEqualTo(published.size() - 2);
    Stores.await(
        "the oldest is the one left",
        () -> store.stats().outboxOldest().equals(Optional.of(published.get(1).at())));
    reopen();
    assertThat(store.outbox().next(0, 2)).containsExactly(published.get(1), published.get(3));
    assertThat(store.stats().outboxWaiting()).isEqualTo(published.size() - 2);
  }

  @Test
  void aRefusedRowIsKeptAsideWithItsReason() throws Exception {
    List<Entry> published = published(append(5));
    Outbox outbox = store.outbox();
    outbox.setAside(published.get(0).seq(), "packet too large");
    Stores.await("it is counted", () -> store.stats().setAside() == 1);
    reopen();
    assertThat(store.stats().setAside()).isEqualTo(1);
    assertThat(store.outbox().next(0, 1)).containsExactly(published.get(1));
    store.close();
    assertThat(Verify.dataFolder(data).aside()).isEqualTo(1);
    assertThat(Verify.dataFolder(data).outbox()).isEqualTo(published.size() - 1);
    store = Stores.open(data);
  }

  @Test
  void newRowsWakeThePublisher() throws Exception {
    Outbox outbox = store.outbox();
    assertThat(outbox.next(0, 10)).isEmpty();
    CompletableFuture<Void> woken =
        CompletableFuture.runAsync(
            () -> {
              try {
                outbox.awaitWork(Duration.ofMinutes(5).toMillis());
              } catch (InterruptedException e) {
                throw new IllegalStateException(e);
              }
            });
    append(1);
    woken.get(Heard.DEADLINE.toSeconds(), TimeUnit.SECONDS);
    assertThat(outbox.next(0, 10)).isNotEmpty();
  }

  @Test
  void rowsThatCameBetweenLookingAndWaitingAreNotSleptOver() throws Exception {
    Outbox outbox = store.outbox();
    assertThat(outbox.next(0, 10)).isEmpty();
    append(1);
    long begun = System.nanoTime();
    outbox.awaitWork(Duration.ofMinutes(5).toMillis());
    assertThat(Duration.ofNanos(System.nanoTime() - begun)).isLessThan(Duration.ofMinutes(1));
  }

  @Test
  void acknowledgementsFindRoomInAFullQueue() throws Exception {
    store.close();
    PendingWork work = new PendingWork(10, Stores.QUICK);
    store = Stores.open(data, new JournalFolder(data).connector(), work);
    Outbox outbox = store.outbox();
    List<Entry> entries = ledger.events(600);
    store.append(entries);
    assertThat(store.hasReserve()).isFalse();
    outbox.acknowledged(1);
    store.start(heard);
    heard.awaitDurable(entries.size());
    assertThat(store.hasRoom()).isTrue();
  }

  private List<Entry> append(int events) throws InterruptedException {
    List<Entry> entries = ledger.events(events);
    store.append(entries);
    heard.awaitDurable(entries.get(entries.size() - 1).seq());
    return entries;
  }

  private void reopen() throws JournalException {
    store.close();
    store = Stores.open(data);
  }

  private static List<Entry> published(List<Entry> entries) {
    return entries.stream().filter(e -> e.topic().isPresent()).toList();
  }
}
