package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.OptionalDouble;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.reading.Reading;
import org.borewarden.rules.uncertainty.Temperatures;

/**
 * A reading that was corrected to 20 degrees Celsius; topic {@code reading/<gauge>}, beside the
 * reading's own record.
 *
 * @param gauge the gauge
 * @param corrects the seq of the reading
 * @param raw what the gauge said, in its unit and with its digits
 * @param value what is judged, to the picometre
 * @param unit the unit of both
 * @param pm what is judged, exact, in picometres
 * @param correction what was added
 * @param u the standard uncertainty of the correction
 * @param part the workpiece, degrees Celsius
 * @param ring the ring at mastering, degrees Celsius
 * @param gaugeSince how much warmer the gauge body is than at mastering, kelvin
 */
record CorrectedPayload(
    String gauge,
    long corrects,
    BigDecimal raw,
    BigDecimal value,
    String unit,
    long pm,
    BigDecimal correction,
    BigDecimal u,
    double part,
    double ring,
    OptionalDouble gaugeSince) {

  static CorrectedPayload of(Decision.ReadingCorrected corrected) {
    Reading raw = corrected.raw();
    Temperatures at = corrected.at();
    return new CorrectedPayload(
        corrected.gauge(),
        corrected.seq(),
        Size.in(raw.value(), raw.unit(), raw.decimals()),
        Size.whole(corrected.corrected(), raw.unit(), raw.decimals()),
        raw.unit().symbol(),
        corrected.corrected().picometres(),
        Size.whole(corrected.correction(), raw.unit(), raw.decimals()),
        Size.whole(corrected.uncertainty(), raw.unit(), raw.decimals()),
        at.part(),
        at.ring(),
        at.gaugeSince());
  }
}
