package org.borewarden.agent;

import java.time.Duration;
import java.util.Optional;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalNote;
import org.borewarden.agent.observe.JournalMetrics;

/**
 * Counts what the scribe reports on its way to the loop.
 *
 * @param loop hears everything
 * @param metrics where it is counted
 */
record JournalMeter(JournalListener loop, JournalMetrics metrics) implements JournalListener {
  @Override
  public void durable(long seq) {
    loop.durable(seq);
  }

  @Override
  public void failed(String why) {
    loop.failed(why);
  }

  @Override
  public void recovered() {
    loop.recovered();
  }

  @Override
  public void outboxFull(Optional<String> why) {
    loop.outboxFull(why);
  }

  @Override
  public void committed(long nanos) {
    metrics.commit(Duration.ofNanos(nanos));
  }

  @Override
  public void noted(JournalNote note) {
    loop.noted(note);
  }
}
