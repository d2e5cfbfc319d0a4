package org.borewarden.agent.observe;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.rules.hold.HoldView;

/** Shows the permit, hold and link of each cell. Any thread. */
public final class HoldMetrics {
  /** The bounds of hold.md: the answer time-out, the beats missed, the cell's time-out. */
  private static final List<Duration> BEAT_GAPS =
      List.of(millis(300), millis(500), millis(750), millis(1000), millis(2000));

  private static final List<Duration> LATENCIES =
      List.of(millis(5), millis(20), millis(50), millis(100), millis(500));

  private final Meters meters;
  private final KnownIds known;
  private final MonotonicClock clock;
  private final Map<String, CellMetrics> cells = new ConcurrentHashMap<>();
  private final Map<String, Echo> echoes = new ConcurrentHashMap<>();

  HoldMetrics(Meters meters, KnownIds known, MonotonicClock clock) {
    this.meters = meters;
    this.known = known;
    this.clock = clock;
  }

  /**
   * Shows what a start restored. Its causes were raised, and counted, before the stop.
   *
   * @param view the hold after the journal was replayed
   */
  public void restored(HoldView view) {
    cell(view.cell()).restored(view);
  }

  /**
   * Shows a cell's hold and counts the causes that are new in it.
   *
   * @param view the hold as it is now
   */
  public void show(HoldView view) {
    cell(view.cell()).show(view);
  }

  /**
   * Whether the cell is in cycle, as it says.
   *
   * @param cell the cell
   * @param inCycle true from its start to its end of part
   */
  public void inCycle(String cell, boolean inCycle) {
    meters.level(Metric.CELL_IN_CYCLE, known.cell(cell)).set(inCycle);
  }

  /**
   * Whether the cell's echo moves.
   *
   * @param cell the cell
   * @param output {@code modbus}, {@code mqtt} or {@code line}
   * @param up whether the link stands
   */
  public void link(String cell, String output, boolean up) {
    meters
        .level(Metric.CELL_LINK, known.cell(cell), meters.bounded(Metric.CELL_LINK, output))
        .set(up);
  }

  /**
   * A beat was written.
   *
   * @param cell the cell
   * @param output {@code modbus}, {@code mqtt} or {@code line}
   * @param gap the time since the beat before it
   */
  public void beat(String cell, String output, Duration gap) {
    String path = meters.bounded(Metric.BEAT_GAP, output);
    meters.timer(Metric.BEAT_GAP, BEAT_GAPS, known.cell(cell), path).record(gap);
  }

  /**
   * The cell's echo moved just now.
   *
   * @param cell the cell
   * @param output {@code modbus}, {@code mqtt} or {@code line}
   */
  public void echoMoved(String cell, String output) {
    String id = known.cell(cell);
    String path = meters.bounded(Metric.ECHO_AGE, output);
    echoes
        .computeIfAbsent(
            id + "/" + path,
            key -> {
              Echo echo = new Echo(clock);
              meters.computed(Metric.ECHO_AGE, echo::ageSeconds, id, path);
              return echo;
            })
        .moved();
  }

  /**
   * A permit was withdrawn.
   *
   * @param latency from the loop's finding until the cell's controller has it
   */
  public void withdrawn(Duration latency) {
    meters.timer(Metric.HOLD_LATENCY, LATENCIES).record(latency);
  }

  /**
   * The hold path of a cell was proved from end to end.
   *
   * @param cell the cell
   * @param at the wall time
   */
  public void testPassed(String cell, Instant at) {
    meters.level(Metric.HOLD_TEST, known.cell(cell)).set(at);
  }

  /**
   * When the hold path of a cell is due to be proved.
   *
   * @param cell the cell
   * @param at the wall time; empty where no proof is asked for
   */
  public void testDue(String cell, Optional<Instant> at) {
    Level due = meters.level(Metric.HOLD_TEST_DUE, known.cell(cell));
    at.ifPresentOrElse(due::set, due::clear);
  }

  /**
   * A hold was released and is gone.
   *
   * @param cell the cell
   * @param needed whether it was needed: yes, no or unknown
   * @param contain what became of the parts to hold back, where it was said
   */
  public void released(String cell, String needed, Optional<String> contain) {
    cell(cell).released(needed, contain);
  }

  /**
   * Something was refused or failed at a cell's registers.
   *
   * @param cell the cell
   * @param why a key such as {@code peer} or {@code torn}
   */
  public void refused(String cell, String why) {
    String key = meters.bounded(Metric.CELL_REFUSED, why);
    meters.counter(Metric.CELL_REFUSED, known.cell(cell), key).increment();
  }

  private CellMetrics cell(String id) {
    return cells.computeIfAbsent(known.cell(id), cell -> new CellMetrics(meters, cell, clock));
  }

  private static Duration millis(int millis) {
    return Duration.ofMillis(millis);
  }

  /** When an echo last moved. */
  private static final class Echo {
    private final MonotonicClock clock;
    private volatile long movedAtNanos;

    Echo(MonotonicClock clock) {
      this.clock = clock;
      this.movedAtNanos = clock.nanos();
    }

    void moved() {
      movedAtNanos = clock.nanos();
    }

    double ageSeconds() {
      return (clock.nanos() - movedAtNanos) / 1e9;
    }
  }
}
