package org.borewarden.agent;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Supplier;
import org.borewarden.agent.journal.JournalStats;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.observe.HealthView;
import org.borewarden.agent.observe.Metrics;
import org.borewarden.agent.service.ClockSync;

/**
 * How the agent does, for the health pages.
 *
 * @param loop the loop
 * @param journal the journal
 * @param rules the rules
 * @param metrics where the outbox is shown
 * @param broker what a person should look at on the way to the broker, one sentence each
 */
record Health(
    Loop loop,
    JournalStore journal,
    RulesInForce rules,
    Metrics metrics,
    Supplier<List<String>> broker)
    implements HealthView {
  @Override
  public Duration sinceLastTurn() {
    return Duration.ofNanos(loop.nanosSinceLastTurn());
  }

  @Override
  public List<String> notReadyBecause() {
    List<String> reasons = new ArrayList<>();
    if (!journal.stats().writable()) {
      reasons.add("the journal cannot be written");
    }
    rules.problem().ifPresent(reasons::add);
    reasons.addAll(loop.lostPorts());
    return reasons;
  }

  @Override
  public List<String> warnings() {
    return broker.get();
  }

  /** Brings to date what nobody tells of when it changes. */
  void refresh() {
    JournalStats stats = journal.stats();
    metrics.journal().outbox(stats.outboxWaiting(), stats.outboxOldest());
    metrics.journal().size(stats.bytes());
    metrics.agent().clockSynchronised(ClockSync.now(ClockSync.MARKS));
  }
}
