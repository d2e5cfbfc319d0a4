package org.borewarden.demo.machine;

import java.math.BigDecimal;
import java.math.RoundingMode;

/**
 * A bore of a demo part and how its gauge writes it.
 *
 * @param feature its name
 * @param nominal the nominal size in its unit, such as {@code 62.000}
 * @param upper the upper deviation in its unit
 * @param lower the lower deviation in its unit
 * @param unit {@code mm} or {@code in}
 * @param digits the decimals that its gauge shows
 * @param wear how the insert that bores it wears
 */
public record Hole(
    String feature,
    BigDecimal nominal,
    BigDecimal upper,
    BigDecimal lower,
    String unit,
    int digits,
    Wear wear) {
  private static final BigDecimal MICROMETRES_PER_MILLIMETRE = new BigDecimal(1000);
  private static final BigDecimal MICROMETRES_PER_INCH = new BigDecimal(25_400);

  /** Checks the unit. */
  public Hole {
    if (!unit.equals("mm") && !unit.equals("in")) {
      throw new IllegalArgumentException("unit: expected mm or in, found " + unit);
    }
  }

  /**
   * A hole from text.
   *
   * @param feature its name
   * @param nominal the nominal size
   * @param upper the upper deviation
   * @param lower the lower deviation
   * @param unit {@code mm} or {@code in}
   * @param digits the decimals that its gauge shows
   * @param wear how its insert wears
   * @return the hole
   */
  public static Hole of(
      String feature,
      String nominal,
      String upper,
      String lower,
      String unit,
      int digits,
      Wear wear) {
    return new Hole(
        feature,
        new BigDecimal(nominal),
        new BigDecimal(upper),
        new BigDecimal(lower),
        unit,
        digits,
        wear);
  }

  /**
   * What the gauge reads of a bore.
   *
   * @param deviationMicrometres the bore's deviation from nominal
   * @return the size in the hole's unit, rounded to the gauge's digits
   */
  public BigDecimal reading(double deviationMicrometres) {
    BigDecimal per = unit.equals("mm") ? MICROMETRES_PER_MILLIMETRE : MICROMETRES_PER_INCH;
    BigDecimal deviation =
        BigDecimal.valueOf(deviationMicrometres).divide(per, digits + 6, RoundingMode.HALF_EVEN);
    return nominal.add(deviation).setScale(digits, RoundingMode.HALF_EVEN);
  }

  /**
   * The line that the gauge sends.
   *
   * @param deviationMicrometres the bore's deviation from nominal
   * @return such as {@code 62.013 mm}, without its end
   */
  public String line(double deviationMicrometres) {
    return reading(deviationMicrometres).toPlainString() + " " + unit;
  }

  /**
   * Whether a reading lies within the limits, ends included.
   *
   * @param reading a size in the hole's unit
   * @return true within
   */
  public boolean within(BigDecimal reading) {
    return reading.compareTo(nominal.add(lower)) >= 0 && reading.compareTo(nominal.add(upper)) <= 0;
  }
}
