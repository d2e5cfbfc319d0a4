package org.borewarden.agent.config;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.measure.Length;

/**
 * How a reading is made of the samples of a gauge that never stops sending them.
 *
 * @param samplesPerSecond how many it sends, 10 to 2000; durations are counted in samples
 * @param method what is looked for
 * @param within the sizes between which the gauge is in a bore; each stay there gives one reading
 * @param gate the cell that says when a part is in front of the gauge, where it is asked
 */
public record CaptureConfig(
    int samplesPerSecond, Method method, Optional<Within> within, Optional<String> gate) {

  /**
   * The sizes that a gauge shows in a bore.
   *
   * @param least the smallest
   * @param most the largest
   */
  public record Within(Length least, Length most) {}

  /** What is looked for in the samples. */
  public sealed interface Method permits Stable, Turning, Flagged {}

  /**
   * A stable dwell: the mean of its samples.
   *
   * @param span the most by which they may differ
   * @param dwell how long
   */
  public record Stable(Length span, Duration dwell) implements Method {}

  /**
   * A turning point: the vertex of a parabola through it.
   *
   * @param smallest true for a gauge that is rocked in the axial plane, false for one that is swung
   *     across the axis
   * @param depth by how much the samples must turn on both sides; above their noise
   * @param turns how many turning points are awaited; the smallest (largest) of them counts
   */
  public record Turning(boolean smallest, Length depth, int turns) implements Method {}

  /**
   * The moment at which the frame's status becomes one of these: a data button, for example.
   *
   * @param statuses as the status group finds them
   * @param mean over how long before that the mean is taken; empty for that sample alone
   */
  public record Flagged(List<String> statuses, Optional<Duration> mean) implements Method {
    /** Copies the list. */
    public Flagged {
      statuses = List.copyOf(statuses);
    }
  }
}
