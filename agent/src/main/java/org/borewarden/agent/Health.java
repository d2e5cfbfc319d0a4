package org.borewarden.agent;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.journal.JournalStats;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.observe.HealthView;
import org.borewarden.agent.observe.Metrics;

/**
 * How the agent does, for the health pages.
 *
 * @param loop the loop
 * @param journal the journal
 * @param rules the rules
 * @param metrics where the outbox is shown
 */
record Health(Loop loop, JournalStore journal, RulesInForce rules, Metrics metrics)
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

  /** Brings to date what the outbox shows. */
  void refresh() {
    JournalStats stats = journal.stats();
    metrics.journal().outbox(stats.outboxWaiting(), stats.outboxOldest());
    metrics.journal().size(stats.bytes());
  }
}
