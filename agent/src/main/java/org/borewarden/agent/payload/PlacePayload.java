package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.FormResult;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.bore.Taken;
import org.borewarden.rules.bore.Trace;
import org.borewarden.rules.measure.Unit;

/** The parts of a verdict of more than one reading. Sizes are in the unit of the verdict. */
final class PlacePayload {
  private PlacePayload() {}

  /**
   * How the readings of a bore combine.
   *
   * @param size which size was judged
   * @param low the low end of what was judged
   * @param high the high end
   * @param readings all readings, in order
   */
  record Plan(String size, BigDecimal low, BigDecimal high, List<At> readings) {
    Plan {
      readings = List.copyOf(readings);
    }

    static Plan of(Measured measured, Bore bore) {
      return new Plan(
          measured.size().key(),
          Size.whole(measured.judged().low(), bore.unit(), bore.decimals()),
          Size.whole(measured.judged().high(), bore.unit(), bore.decimals()),
          measured.taken().stream().map(taken -> At.of(taken, bore.unit())).toList());
    }
  }

  /**
   * A reading.
   *
   * @param place where it was taken
   * @param seq the seq of its event
   * @param value its value
   * @param counts false where another one stands in its stead
   */
  record At(Optional<String> place, long seq, BigDecimal value, boolean counts) {
    static At of(Taken taken, Unit unit) {
      return new At(
          Optional.of(taken.place()).filter(p -> !p.isEmpty()),
          taken.seq(),
          Size.whole(taken.value(), unit, 0),
          taken.counts());
    }
  }

  /**
   * A kind of form.
   *
   * @param kind what was limited
   * @param value what was found
   * @param most its limit
   * @param verdict within, over or undecided
   */
  record Shape(String kind, BigDecimal value, BigDecimal most, String verdict) {
    static Shape of(FormResult form, Unit unit) {
      return new Shape(
          form.kind().key(),
          Size.whole(form.value(), unit, 0),
          Size.whole(form.most(), unit, 0),
          form.verdict().key());
    }
  }

  /**
   * On what the gauge's word rests.
   *
   * @param ring the ring of its last good check
   * @param certificate that ring's certificate
   * @param checked the seq of that check
   * @param mastered the seq of the mastering
   */
  record Rests(String ring, Optional<String> certificate, long checked, Optional<Long> mastered) {
    static Rests of(Trace trace) {
      return new Rests(
          trace.ring(),
          trace.certificate(),
          trace.checked(),
          trace.mastered().isPresent()
              ? Optional.of(trace.mastered().getAsLong())
              : Optional.empty());
    }
  }
}
