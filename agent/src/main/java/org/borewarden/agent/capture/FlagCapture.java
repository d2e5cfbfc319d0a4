package org.borewarden.agent.capture;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.reading.Reading;

/**
 * A reading at the moment at which the status of the frames becomes one that was named: the last
 * sample, or the mean of the last ones. A key that is held down gives one.
 */
final class FlagCapture implements Capture {
  private final List<String> statuses;
  private final long[] last;
  private int held;
  private int at;
  private boolean pressed = true;

  FlagCapture(CaptureConfig.Flagged config, int samplesPerSecond) {
    this.statuses = config.statuses();
    this.last = new long[config.mean().map(m -> Method.samples(m, samplesPerSecond)).orElse(1)];
  }

  @Override
  public Optional<Caught> take(Reading sample) {
    last[at] = sample.value().picometres();
    at = (at + 1) % last.length;
    held = Math.min(held + 1, last.length);
    boolean before = pressed;
    pressed = sample.status().filter(statuses::contains).isPresent();
    return pressed && !before ? Optional.of(new Caught.Taken(mean(sample))) : Optional.empty();
  }

  private Reading mean(Reading sample) {
    long base = sample.value().picometres();
    long sum = 0;
    long most = 0;
    long least = 0;
    // The held samples are the first ones of the array until it is full.
    for (int i = 0; i < held; i++) {
      long off = last[i] - base;
      sum += off;
      most = Math.max(most, off);
      least = Math.min(least, off);
    }
    Method.Found found = new Method.Found(base + mean(sum, held), held, most - least);
    return sample.captured(new Length(found.value()), found.captured());
  }

  /** Half to even, so that no side is favoured. */
  static long mean(long sum, int count) {
    return BigDecimal.valueOf(sum)
        .divide(BigDecimal.valueOf(count), 0, RoundingMode.HALF_EVEN)
        .longValueExact();
  }

  @Override
  public void missing() {
    held = 0;
    at = 0;
  }

  @Override
  public Optional<Caught> gap() {
    missing();
    // A key that is found down may have been pressed for the reading before.
    pressed = true;
    return Optional.empty();
  }
}
