package org.borewarden.rules.study;

import java.util.List;
import org.apache.commons.statistics.distribution.FDistribution;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.Regression;

/**
 * Several masters, several readings of each: whether the gauge's error grows with the size, and
 * what a straight line leaves unexplained (ISO 22514-7 annex A, after ISO 11095; NIST/SEMATECH
 * e-Handbook 2.3.6.7).
 *
 * @param intercept the reading at size 0 by the line
 * @param slope readings per size; 1 is no linear error
 * @param lackOfFit u_LIN: what the line does not explain, as a standard uncertainty
 * @param repeatability u_EVR: the scatter of repeated readings of one master
 * @param ratio F, lack of fit over repeatability; NaN where neither is there
 * @param critical the F that is reached with a probability of 5 % where the line is right
 */
public record LinearityStudy(
    double intercept,
    double slope,
    double lackOfFit,
    double repeatability,
    double ratio,
    double critical) {
  private static final double LEVEL = 0.95;

  /**
   * The repeated readings of one master.
   *
   * @param reference its certified size
   * @param readings the readings of it, at least 2
   */
  public record Master(double reference, List<Double> readings) {
    /**
     * Copies the list.
     *
     * @throws IllegalArgumentException with fewer than 2 readings
     */
    public Master {
      readings = List.copyOf(readings);
      if (readings.size() < 2) {
        throw new IllegalArgumentException(
            "expected at least 2 readings of the master " + reference + ", found " + readings);
      }
    }
  }

  /**
   * The study of a set of masters.
   *
   * @param masters at least 3, each of another size
   * @return the line and what it leaves
   * @throws IllegalArgumentException with fewer than 3 masters, or two of the same size
   */
  public static LinearityStudy of(List<Master> masters) {
    long sizes = masters.stream().mapToDouble(Master::reference).distinct().count();
    if (sizes < 3 || sizes < masters.size()) {
      throw new IllegalArgumentException(
          "expected at least 3 masters, each of another size, found "
              + masters.size()
              + " of "
              + sizes
              + " sizes");
    }
    double near = masters.get(0).reference();
    Regression line = Regression.NONE;
    double within = 0;
    for (Master master : masters) {
      Moments moments = Moments.NONE;
      for (double reading : master.readings()) {
        line = line.plus(master.reference() - near, reading - near);
        moments = moments.plus(reading - near);
      }
      within += moments.squares();
    }
    long freedomFit = sizes - 2;
    long freedomWithin = line.count() - sizes;
    double fit = Math.max(0, line.residualSquares() - within) / freedomFit;
    double repeat = within / freedomWithin;
    return new LinearityStudy(
        near + line.intercept() - line.slope() * near,
        line.slope(),
        Math.sqrt(fit),
        Math.sqrt(repeat),
        fit / repeat,
        FDistribution.of((double) freedomFit, (double) freedomWithin)
            .inverseCumulativeProbability(LEVEL));
  }

  /**
   * Whether the straight line is enough to describe the gauge's error.
   *
   * @return false where more than a straight line is significant; true where nothing is left to
   *     explain
   */
  public boolean straight() {
    return !(ratio > critical);
  }
}
