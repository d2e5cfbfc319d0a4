package org.borewarden.agent.observe;

import io.micrometer.core.instrument.MeterRegistry;
import io.micrometer.core.instrument.binder.jvm.JvmGcMetrics;
import io.micrometer.core.instrument.binder.jvm.JvmMemoryMetrics;
import io.micrometer.core.instrument.binder.jvm.JvmThreadMetrics;
import io.micrometer.core.instrument.binder.system.FileDescriptorMetrics;
import io.micrometer.core.instrument.composite.CompositeMeterRegistry;
import io.micrometer.prometheusmetrics.PrometheusConfig;
import io.micrometer.prometheusmetrics.PrometheusMeterRegistry;
import java.util.Optional;
import org.borewarden.agent.clock.MonotonicClock;

/**
 * All counts and levels of the agent, by room; what each means stands in docs/metrics.md. Every
 * method of every part may be called on any thread, does not block and does not throw for an id
 * that it does not know.
 */
public final class Metrics implements AutoCloseable {
  private final PrometheusMeterRegistry page =
      new PrometheusMeterRegistry(PrometheusConfig.DEFAULT);
  private final JvmGcMetrics garbage = new JvmGcMetrics();
  private final InputMetrics input;
  private final BoreMetrics bores;
  private final HoldMetrics holds;
  private final JournalMetrics journal;
  private final BrokerMetrics brokers;
  private final AgentMetrics agent;
  private volatile Runnable refresh = () -> {};
  private final Optional<Sender> sender;

  /**
   * Begins to count.
   *
   * @param known the ids that may stand in labels
   * @param clock for ages and durations
   * @param sending where the same metrics are sent to, beside the page
   */
  public Metrics(KnownIds known, MonotonicClock clock, Optional<Sending> sending) {
    sender = sending.map(to -> new Sender(to, () -> refresh.run()));
    MeterRegistry registry = both();
    Meters meters = new Meters(registry, page.getPrometheusRegistry());
    input = new InputMetrics(meters, known);
    bores = new BoreMetrics(meters);
    holds = new HoldMetrics(meters, known, clock);
    journal = new JournalMetrics(meters);
    brokers = new BrokerMetrics(meters);
    agent = new AgentMetrics(meters, known);
    new JvmMemoryMetrics().bindTo(registry);
    new JvmThreadMetrics().bindTo(registry);
    new FileDescriptorMetrics().bindTo(registry);
    garbage.bindTo(registry);
  }

  /** Where nothing is sent, the page alone, without a step between. */
  private MeterRegistry both() {
    if (sender.isEmpty()) {
      return page;
    }
    CompositeMeterRegistry both = new CompositeMeterRegistry();
    both.add(page);
    both.add(sender.get().registry());
    return both;
  }

  /**
   * Gauges and their readings.
   *
   * @return for the sources
   */
  public InputMetrics input() {
    return input;
  }

  /**
   * Bores, findings and forecasts.
   *
   * @return for the loop
   */
  public BoreMetrics bores() {
    return bores;
  }

  /**
   * Permits, holds and the cells' links.
   *
   * @return for the loop and the hold outputs
   */
  public HoldMetrics holds() {
    return holds;
  }

  /**
   * The journal and its outbox.
   *
   * @return for the scribe and the publisher
   */
  public JournalMetrics journal() {
    return journal;
  }

  /**
   * Broker connections.
   *
   * @return for the publishers
   */
  public BrokerMetrics brokers() {
    return brokers;
  }

  /**
   * The agent itself: loop, clock, commands, rules, version.
   *
   * @return for the loop and the start
   */
  public AgentMetrics agent() {
    return agent;
  }

  /**
   * Names what brings levels up to date that nobody tells of when they change.
   *
   * @param task runs before each scrape, on the scraping thread
   */
  public void beforeScrape(Runnable task) {
    refresh = task;
  }

  /**
   * All series as text.
   *
   * @param contentType the exposition format; the plain one of Prometheus unless OpenMetrics is
   *     named
   * @return the text
   */
  public String scrape(String contentType) {
    refresh.run();
    return page.scrape(contentType);
  }

  /** Stops listening to the garbage collector, and sends no more. */
  @Override
  public void close() {
    garbage.close();
    sender.ifPresent(Sender::close);
    page.close();
  }
}
