package org.borewarden.agent.loop;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.borewarden.rules.engine.Event;
import org.junit.jupiter.api.Test;

class InboxTest {
  private final Inbox inbox = new Inbox();

  @Test
  void eventsLeaveInTheOrderInWhichTheyCame() throws Exception {
    inbox.put(new Event.ClockStepped(1));
    assertThat(inbox.offer(new Event.ClockStepped(2))).isTrue();
    assertThat(inbox.poll(true, 0)).contains(new Event.ClockStepped(1));
    assertThat(inbox.poll(true, 0)).contains(new Event.ClockStepped(2));
    assertThat(inbox.poll(true, 0)).isEmpty();
  }

  @Test
  void aFullInboxRefusesAnOfferMakesAPutWaitAndCountsBoth() throws Exception {
    for (int i = 0; i < Inbox.CAPACITY; i++) {
      inbox.put(new Event.ClockStepped(i));
    }
    assertThat(inbox.offer(new Event.ClockStepped(-1))).isFalse();
    assertThat(inbox.overruns()).isEqualTo(1);
    CountDownLatch wasPut = new CountDownLatch(1);
    Thread source =
        new Thread(
            () -> {
              try {
                inbox.put(new Event.ClockStepped(-2));
                wasPut.countDown();
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            },
            "source");
    source.start();
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(30);
    while (inbox.overruns() < 2 && System.nanoTime() < end) {
      Thread.onSpinWait();
    }
    assertThat(inbox.overruns()).isEqualTo(2);
    assertThat(wasPut.getCount()).isEqualTo(1);
    assertThat(inbox.waiting()).isEqualTo(Inbox.CAPACITY);

    assertThat(inbox.poll(true, 0)).contains(new Event.ClockStepped(0));
    assertThat(wasPut.await(30, TimeUnit.SECONDS)).isTrue();
    assertThat(inbox.waiting()).isEqualTo(Inbox.CAPACITY);
    source.join();
  }

  @Test
  void whileTheJournalHasNoRoomEventsStayWhereTheyAre() throws Exception {
    inbox.put(new Event.ClockStepped(1));
    assertThat(inbox.poll(false, 1)).isEqualTo(Optional.empty());
    assertThat(inbox.waiting()).isEqualTo(1);
    assertThat(inbox.poll(true, 0)).contains(new Event.ClockStepped(1));
  }

  @Test
  void aSignalEndsOneWait() throws Exception {
    inbox.signal();
    long before = System.nanoTime();
    assertThat(inbox.poll(true, TimeUnit.MINUTES.toNanos(10))).isEmpty();
    assertThat(System.nanoTime() - before).isLessThan(TimeUnit.MINUTES.toNanos(5));
    assertThat(inbox.poll(true, 1)).isEmpty();
  }
}
