package org.borewarden.rules.bore;

import java.util.List;
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
 */
public record Bore(
    String feature,
    long part,
    Length value,
    Unit unit,
    int decimals,
    List<Long> readings,
    PartContext context) {
  /** Copies the list. */
  public Bore {
    readings = List.copyOf(readings);
  }
}
