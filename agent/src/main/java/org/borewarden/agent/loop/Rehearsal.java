package org.borewarden.agent.loop;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Which;
import org.borewarden.rules.reading.Reading;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Goes the way from a reading to a withdrawn permit some hundred times at the start, on a state in
 * memory that nobody else sees, so that the first hold does not wait for classes to be loaded and
 * code to be compiled. It writes nothing, and shows nothing to any cell.
 */
public final class Rehearsal {
  /** More calls than the first compiler waits for (200 in OpenJDK 17). */
  private static final int ROUNDS = 250;

  private static final Logger LOG = LoggerFactory.getLogger(Rehearsal.class);

  /** So far outside that no rule for the gauge's error can judge otherwise. */
  private static final Length BEYOND = new Length(1_000_000_000L);

  private final Instant at;
  private final Recorder recorder = new Recorder(Map.of());
  private State state = State.initial();
  private long seq;

  private Rehearsal(Instant at) {
    this.at = at;
  }

  /**
   * Rehearses. Any thread.
   *
   * @param at a wall time for the stamps
   * @param evidence the start, the rules, and what makes every cell permitted
   * @param features the features; the first of which one reading withdraws a permit is taken, so
   *     none with several places or with a gauge that must be checked first or goes by its cell
   * @return how many permits were withdrawn in it; 0 where no feature is of that kind
   */
  public static int hold(Instant at, List<Event> evidence, List<Feature> features) {
    Rehearsal rehearsal = new Rehearsal(at);
    evidence.forEach(rehearsal::take);
    return features.stream()
        .filter(feature -> rehearsal.withdrawn(feature, 1) > 0)
        .findFirst()
        .map(feature -> rehearsal.withdrawn(feature, ROUNDS))
        .orElse(0);
  }

  private int withdrawn(Feature feature, int rounds) {
    Event bad = beyond(feature);
    State permitted = state;
    AtomicInteger withdrawn = new AtomicInteger();
    List<HoldOutput> outputs = new ArrayList<>();
    state.cellIds().forEach(cell -> outputs.add(new Nowhere(cell, withdrawn)));
    Beats beats = new Beats(outputs);
    for (int round = 0; round < rounds; round++) {
      for (Decision decision : take(bad).decisions()) {
        if (decision instanceof Decision.HoldChanged changed) {
          beats.cell(changed.hold().cell(), state, at, new Beats.Trust(false, false));
        }
      }
      state = permitted;
    }
    return withdrawn.get();
  }

  private Event beyond(Feature feature) {
    Length far = farthest(feature);
    Length value =
        feature
            .limits()
            .upper()
            .map(upper -> upper.plus(far))
            .orElseGet(() -> feature.limits().lower().orElseThrow().minus(far));
    return new Event.ReadingTaken(
        new Reading(feature.gauge(), value, feature.unit(), 3, feature.input(), Optional.empty()));
  }

  /** A gauge that tells its features by their sizes knows no bore that is farther off. */
  private Length farthest(Feature feature) {
    return state
        .rules()
        .flatMap(rules -> rules.gauge(feature.gauge()))
        .flatMap(GaugeRules::which)
        .map(which -> which instanceof Which.BySize bySize ? bySize.margin() : BEYOND)
        .filter(BEYOND::isAbove)
        .orElse(BEYOND);
  }

  private Step take(Event event) {
    Stamped stamped = new Stamped(seq + 1, at, event);
    Step step = Boundary.step(state, stamped, fault -> LOG.debug("rehearsing a hold", fault));
    state = step.next();
    seq += 1 + step.decisions().size();
    recorder.entries(new Turn(stamped, step, ""));
    for (Decision decision : step.decisions()) {
      if (decision instanceof Decision.HoldChanged changed && changed.grantPending().isPresent()) {
        take(new Event.GrantSynced(changed.hold().cell(), changed.grantPending().get()));
      }
    }
    return step;
  }

  /**
   * Shows a cell nothing.
   *
   * @param cell the cell
   * @param withdrawn counts the images without permit
   */
  private record Nowhere(String cell, AtomicInteger withdrawn) implements HoldOutput {
    @Override
    public void start() {
      throw new IllegalStateException("it is never started");
    }

    @Override
    public void beat(int beat, PermitImage image) {
      if (!image.hold().permitted()) {
        withdrawn.incrementAndGet();
      }
    }

    @Override
    public void close() {
      throw new IllegalStateException("it is never started");
    }
  }
}
