package org.borewarden.agent.observe;

import io.prometheus.metrics.core.metrics.Info;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.IntSupplier;
import org.borewarden.rules.hold.AnswerCode;

/** Shows the agent itself. Any thread. */
public final class AgentMetrics {
  private static final List<Duration> TURNS =
      List.of(
          Duration.ofMillis(1),
          Duration.ofMillis(10),
          Duration.ofMillis(100),
          Duration.ofMillis(500),
          Duration.ofSeconds(1));

  private final Meters meters;
  private final KnownIds known;
  private final Info rules;
  private final Info build;
  private final AtomicLong uncleanStarts = new AtomicLong();

  AgentMetrics(Meters meters, KnownIds known) {
    this.meters = meters;
    this.known = known;
    this.rules = meters.info(Metric.RULES_INFO);
    this.build = meters.info(Metric.BUILD_INFO);
    meters.total(Metric.UNCLEAN_STARTS, uncleanStarts, total -> (double) total.get());
    meters.counter(Metric.CLOCK_STEPS);
  }

  /**
   * What started, and when.
   *
   * @param version the agent's version
   * @param at the wall time of the start
   * @param uncleanStartsEver how many starts of this journal followed an unclean stop, this one
   *     included
   */
  public void started(String version, Instant at, long uncleanStartsEver) {
    build.setLabelValues(version);
    meters.level(Metric.STARTED).set(at);
    uncleanStarts.set(uncleanStartsEver);
  }

  /**
   * Names where the length of the inbox comes from. Called once.
   *
   * @param events asked on the scraping thread
   */
  public void inbox(IntSupplier events) {
    meters.computed(Metric.INBOX, events::getAsInt);
  }

  /**
   * The loop turned.
   *
   * @param took the time of the turn, without waiting
   */
  public void loopTurn(Duration took) {
    meters.timer(Metric.LOOP_TURN, TURNS).record(took);
  }

  /**
   * Whether the wall clock is synchronised, where that can be told.
   *
   * @param synchronised as the operating system says; empty where it does not
   */
  public void clockSynchronised(Optional<Boolean> synchronised) {
    Level level = meters.level(Metric.CLOCK_SYNCHRONISED);
    synchronised.ifPresentOrElse(level::set, level::clear);
  }

  /** The wall clock stepped against the monotonic one. */
  public void clockStepped() {
    meters.counter(Metric.CLOCK_STEPS).increment();
  }

  /**
   * A command was answered or refused.
   *
   * @param command its name, as far as it could be told
   * @param outcome the answer
   */
  public void command(String command, AnswerCode outcome) {
    meters.counter(Metric.COMMANDS, known.command(command), outcome.key()).increment();
  }

  /**
   * Rules came into force.
   *
   * @param revision their revision
   */
  public void rules(String revision) {
    rules.setLabelValues(revision);
    rulesReloadFailed(false);
  }

  /**
   * Whether the rules file on disk is refused, so that other rules are in force than it says.
   *
   * @param failed true from a refusal to the next good file
   */
  public void rulesReloadFailed(boolean failed) {
    meters.level(Metric.RULES_RELOAD_FAILED).set(failed);
  }

  /**
   * When a certificate in use expires.
   *
   * @param use {@code broker-client}, {@code broker-ca} or the like
   * @param at the wall time
   */
  public void certificateExpires(String use, Instant at) {
    String key = meters.bounded(Metric.CERTIFICATE_EXPIRY, use);
    meters.level(Metric.CERTIFICATE_EXPIRY, key).set(at);
  }
}
