package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;

/** Hears what the scribe says and lets a test wait for it. */
final class Heard implements JournalListener {
  static final Duration DEADLINE = Duration.ofSeconds(30);

  private final List<String> said = new ArrayList<>();
  private final List<JournalNote> notes = new ArrayList<>();
  private Optional<String> full = Optional.empty();
  private long durable;
  private int failures;
  private int recoveries;

  @Override
  public synchronized void durable(long seq) {
    assertThat(seq).isGreaterThan(durable);
    durable = seq;
    notifyAll();
  }

  @Override
  public synchronized void failed(String why) {
    failures++;
    said.add(why);
    notifyAll();
  }

  @Override
  public synchronized void recovered() {
    recoveries++;
    notifyAll();
  }

  @Override
  public synchronized void outboxFull(Optional<String> why) {
    full = why;
    notifyAll();
  }

  @Override
  public synchronized void noted(JournalNote note) {
    notes.add(note);
    notifyAll();
  }

  synchronized List<JournalNote> notes() {
    return List.copyOf(notes);
  }

  synchronized Optional<String> full() {
    return full;
  }

  synchronized long durable() {
    return durable;
  }

  synchronized int failures() {
    return failures;
  }

  synchronized int recoveries() {
    return recoveries;
  }

  synchronized List<String> said() {
    return List.copyOf(said);
  }

  void awaitDurable(long seq) throws InterruptedException {
    await("entry " + seq + " is durable", () -> durable >= seq);
  }

  void awaitFailures(int count) throws InterruptedException {
    await(count + " failures are reported", () -> failures >= count);
  }

  void awaitRecoveries(int count) throws InterruptedException {
    await(count + " recoveries are reported", () -> recoveries >= count);
  }

  private synchronized void await(String what, BooleanSupplier done) throws InterruptedException {
    long end = System.nanoTime() + DEADLINE.toNanos();
    while (!done.getAsBoolean()) {
      long left = (end - System.nanoTime()) / 1_000_000;
      assertThat(left)
          .as(
              "%s; durable %s, failures %s, recoveries %s, said %s",
              what, durable, failures, recoveries, said)
          .isPositive();
      wait(left);
    }
  }
}
