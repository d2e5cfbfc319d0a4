package org.borewarden.agent.capture;

import java.time.Duration;
import java.util.Optional;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.reading.Captured;

/** Finds a value in the samples of one stay in a bore. One thread only. */
interface Method {
  /** Takes the next sample, in picometres. */
  Optional<Found> take(long sample);

  /** Forgets all samples: the next one is not the successor of the last. */
  void restart();

  /** A new stay begins. */
  void begin();

  /** What this stay lacked, as a key and in words, where it ended without a value. */
  Caught.Missed missed();

  /**
   * A value.
   *
   * @param value in picometres
   * @param samples how many samples it rests on
   * @param span the largest of them less the smallest, in picometres
   */
  record Found(long value, int samples, long span) {
    Captured captured() {
      return new Captured(samples, new Length(span));
    }
  }

  /** The samples of a duration, at least one. */
  static int samples(Duration duration, int perSecond) {
    return (int) Math.max(1, (duration.toMillis() * perSecond + 999) / 1_000);
  }

  static Method of(CaptureConfig.Method method, int samplesPerSecond) {
    return method instanceof CaptureConfig.Stable stable
        ? new StableDwell(stable, samples(stable.dwell(), samplesPerSecond))
        : new Turns((CaptureConfig.Turning) method, samplesPerSecond);
  }
}
