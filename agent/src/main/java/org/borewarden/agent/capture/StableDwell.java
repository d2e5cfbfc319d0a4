package org.borewarden.agent.capture;

import java.util.Optional;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.rules.measure.Length;

/**
 * The first successive samples of a stay that lie within a span for long enough; their mean counts.
 * The least and the largest of the last samples are kept in two falling queues, so that each sample
 * costs the same however long the dwell is.
 */
final class StableDwell implements Method {
  private final long span;
  private final int dwell;
  private final long[] samples;
  private final IndexQueue largest;
  private final IndexQueue smallest;
  private long count;

  StableDwell(CaptureConfig.Stable config, int dwellSamples) {
    this.span = config.span().picometres();
    this.dwell = dwellSamples;
    this.samples = new long[dwellSamples];
    this.largest = new IndexQueue(dwellSamples);
    this.smallest = new IndexQueue(dwellSamples);
  }

  @Override
  public Optional<Found> take(long sample) {
    largest.dropBefore(count - dwell + 1);
    smallest.dropBefore(count - dwell + 1);
    while (!largest.isEmpty() && at(largest.last()) <= sample) {
      largest.removeLast();
    }
    while (!smallest.isEmpty() && at(smallest.last()) >= sample) {
      smallest.removeLast();
    }
    samples[(int) (count % dwell)] = sample;
    largest.add(count);
    smallest.add(count);
    count++;
    long found = at(largest.first()) - at(smallest.first());
    return count >= dwell && found <= span
        ? Optional.of(new Found(mean(), dwell, found))
        : Optional.empty();
  }

  private long at(long index) {
    return samples[(int) (index % dwell)];
  }

  private long mean() {
    long base = samples[0];
    long sum = 0;
    for (long sample : samples) {
      sum += sample - base;
    }
    return base + FlagCapture.mean(sum, dwell);
  }

  @Override
  public void restart() {
    count = 0;
    largest.clear();
    smallest.clear();
  }

  @Override
  public void begin() {
    restart();
  }

  @Override
  public Caught.Missed missed() {
    return new Caught.Missed(
        "not-stable",
        "expected "
            + dwell
            + " successive samples within "
            + new Length(span)
            + " before the gauge left the bore, found none");
  }

  /** Indices that grow, at most as many as the dwell has samples. */
  private static final class IndexQueue {
    private final long[] indices;
    private int from;
    private int size;

    IndexQueue(int most) {
      this.indices = new long[most];
    }

    boolean isEmpty() {
      return size == 0;
    }

    long first() {
      return indices[from];
    }

    long last() {
      return indices[(from + size - 1) % indices.length];
    }

    void add(long index) {
      indices[(from + size) % indices.length] = index;
      size++;
    }

    void removeLast() {
      size--;
    }

    void dropBefore(long least) {
      while (size > 0 && indices[from] < least) {
        from = (from + 1) % indices.length;
        size--;
      }
    }

    void clear() {
      size = 0;
    }
  }
}
