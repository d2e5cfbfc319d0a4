package org.borewarden.rules.bore;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.PartContext;

/**
 * One measured hole.
 *
 * @param feature the feature's id
 * @param part its part's number in cutting order, x; counted by the cell where it counts, else by
 *     us
 * @param value the size that is judged
 * @param unit the unit the gauge showed
 * @param decimals the decimals the gauge showed
 * @param readings the seqs of its readings, oldest first
 * @param context what was said of the part
 * @param measured how it came about, where more than one reading or place was asked for
 * @param trace on what the gauge's word rests, where it is checked on a ring
 */
public record Bore(
    String feature,
    long part,
    Length value,
    Unit unit,
    int decimals,
    List<Long> readings,
    PartContext context,
    Optional<Measured> measured,
    Optional<Trace> trace) {
  /** Copies the list. */
  public Bore {
    readings = List.copyOf(readings);
  }

  /**
   * A bore of one reading, of a gauge that is believed as it is.
   *
   * @param feature the feature's id
   * @param part its part's number in cutting order
   * @param value the size that is judged
   * @param unit the unit the gauge showed
   * @param decimals the decimals the gauge showed
   * @param readings the seqs of its readings
   * @param context what was said of the part
   */
  public Bore(
      String feature,
      long part,
      Length value,
      Unit unit,
      int decimals,
      List<Long> readings,
      PartContext context) {
    this(
        feature,
        part,
        value,
        unit,
        decimals,
        readings,
        context,
        Optional.empty(),
        Optional.empty());
  }

  /**
   * The size that the watches follow.
   *
   * @return the value, unless the plan says otherwise
   */
  public Length followed() {
    return measured.map(Measured::followed).orElse(value);
  }

  /**
   * The ends of what is judged.
   *
   * @return the value twice, unless several places are judged
   */
  public Span judged() {
    return measured.map(Measured::judged).orElseGet(() -> Span.of(value));
  }
}
