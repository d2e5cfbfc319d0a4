package org.borewarden.rules.bore;

import java.util.List;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.SizeRule;

/**
 * How a bore of more than one reading came about.
 *
 * @param size which size was judged
 * @param judged the ends of what was judged
 * @param followed the size that the watches follow
 * @param taken all its readings, in order
 * @param form its form against the limits of form
 * @param notes keys of what to know, such as {@code first-reading-out}
 */
public record Measured(
    SizeRule size,
    Span judged,
    Length followed,
    List<Taken> taken,
    List<FormResult> form,
    List<String> notes) {
  /** Copies the lists. */
  public Measured {
    taken = List.copyOf(taken);
    form = List.copyOf(form);
    notes = List.copyOf(notes);
  }

  /**
   * Whether all form is within.
   *
   * @return false where a limit of form is passed or it is undecided
   */
  public boolean formGood() {
    return form.stream().allMatch(f -> f.verdict() == FormVerdict.WITHIN);
  }
}
