package org.borewarden.agent.capture;

import java.util.Optional;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.rules.bore.TurningPoint;
import org.borewarden.rules.bore.TurningPoint.Mode;

/**
 * The turning points of a stay, of which the smallest (for a gauge that is rocked in the axial
 * plane) or the largest (for one that is swung across the axis) counts. The samples have turned
 * where they came closer by at least the depth and went away by it again; a parabola through what
 * lies between gives the value, for the raw extreme of noisy samples lies too far out.
 *
 * <p>Here everything is turned so that a smallest is looked for.
 */
final class Turns implements Method {
  /** Of the samples on the shorter side of the dip, how many thirds are fitted. */
  private static final int FITTED_THIRDS = 2;

  /** A dip that takes longer is not seen. */
  private static final int LONGEST_SECONDS = 10;

  private final boolean smallest;
  private final long depth;
  private final int turns;
  private final long[] samples;
  private int count;

  /** Whether the samples have come down from a height by the depth. */
  private boolean down;

  private int extreme;
  private int seen;
  private Optional<Found> best = Optional.empty();

  Turns(CaptureConfig.Turning config, int samplesPerSecond) {
    this.smallest = config.smallest();
    this.depth = config.depth().picometres();
    this.turns = config.turns();
    this.samples = new long[LONGEST_SECONDS * samplesPerSecond];
  }

  @Override
  public Optional<Found> take(long sample) {
    makeRoom();
    samples[count] = smallest ? sample : -sample;
    count++;
    int now = count - 1;
    if (now == 0) {
      extreme = 0;
      return Optional.empty();
    }
    boolean beyond = down ? samples[now] < samples[extreme] : samples[now] > samples[extreme];
    if (beyond) {
      extreme = now;
    } else if (Math.abs(samples[now] - samples[extreme]) >= depth) {
      return turned(now);
    }
    return Optional.empty();
  }

  /** From falling to rising is a turning point; from rising to falling the way into the next. */
  private Optional<Found> turned(int now) {
    Optional<Found> found = down ? fitted(now) : Optional.empty();
    down = !down;
    extreme = now;
    if (found.isPresent()) {
      seen++;
      best = best.filter(b -> !isBetter(found.get(), b)).or(() -> found);
    }
    return seen >= turns ? best : Optional.empty();
  }

  private boolean isBetter(Found one, Found other) {
    return smallest ? one.value() < other.value() : one.value() > other.value();
  }

  private Optional<Found> fitted(int now) {
    int left = extreme;
    while (left > 0 && samples[left] - samples[extreme] < depth) {
      left--;
    }
    int shorter = Math.min(now - extreme, extreme - left);
    int half = shorter * FITTED_THIRDS / 3;
    if (half < TurningPoint.LEAST_HALF_WIDTH) {
      return Optional.empty();
    }
    int from = Math.max(0, extreme - 2 * shorter);
    double[] dip = new double[now - from + 1];
    for (int i = 0; i < dip.length; i++) {
      dip[i] = samples[from + i] - samples[extreme];
    }
    return TurningPoint.of(dip, half, Mode.SMALLEST)
        .map(vertex -> found(vertex, from + (int) Math.round(vertex.at()), half));
  }

  private Found found(TurningPoint.Vertex vertex, int centre, int half) {
    long most = Long.MIN_VALUE;
    long least = Long.MAX_VALUE;
    for (int i = Math.max(0, centre - half); i <= Math.min(count - 1, centre + half); i++) {
      most = Math.max(most, samples[i]);
      least = Math.min(least, samples[i]);
    }
    long value = samples[extreme] + (long) Math.rint(vertex.value());
    return new Found(smallest ? value : -value, 2 * half + 1, most - least);
  }

  /** A gauge that rests in the bore fills the room; what lies furthest back is then let go. */
  private void makeRoom() {
    if (count < samples.length) {
      return;
    }
    int dropped = count / 2;
    System.arraycopy(samples, dropped, samples, 0, count - dropped);
    count -= dropped;
    extreme -= dropped;
    if (extreme < 0) {
      // Where it came down from, or turned, is too long ago to be fitted.
      extreme = count - 1;
      down = false;
    }
  }

  @Override
  public void restart() {
    count = 0;
    extreme = 0;
    down = false;
  }

  @Override
  public void begin() {
    restart();
    seen = 0;
    best = Optional.empty();
  }

  @Override
  public Caught.Missed missed() {
    return new Caught.Missed(
        "no-turn",
        "expected the samples to turn "
            + turns
            + (turns == 1 ? " time" : " times")
            + " before the gauge left the bore, found "
            + seen);
  }
}
