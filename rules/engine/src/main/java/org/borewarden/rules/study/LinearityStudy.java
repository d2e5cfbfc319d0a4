package org.borewarden.rules.study;

import java.util.List;
import org.apache.commons.statistics.distribution.FDistribution;
import org.borewarden.rules.stat.Moments;

/**
 * Several masters, several readings of each: whether the gauge's error grows with the size, and
 * what a straight line leaves unexplained (ISO 22514-7 annex A, after ISO 11095; NIST/SEMATECH
 * e-Handbook 2.3.6.7).
 *
 * @param intercept the reading at size 0 by the line
 * @param slope readings per size; 1 is no linear error
 * @param lackOfFit u_LIN: what the line does not explain, as a standard uncertainty
 * @param repeatability u_EVR: the scatter of repeated readings of one master
 * @param ratio F, lack of fit over repeatability
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
   * @param masters at least 3, of different size
   * @return the line and what it leaves
   * @throws IllegalArgumentException with fewer than 3 different sizes
   */
  public static LinearityStudy of(List<Master> masters) {
    long sizes = masters.stream().mapToDouble(Master::reference).distinct().count();
    if (sizes < 3) {
      throw new IllegalArgumentException(
          "expected masters of at least 3 different sizes, found " + sizes);
    }
    double centre = masters.stream().mapToDouble(Master::reference).average().orElseThrow();
    double within = 0;
    int count = 0;
    double sumX = 0;
    double sumY = 0;
    for (Master master : masters) {
      Moments moments = moments(master, centre);
      within += moments.squares();
      count += master.readings().size();
      sumX += master.readings().size() * (master.reference() - centre);
      sumY += master.readings().size() * moments.mean();
    }
    double meanX = sumX / count;
    double meanY = sumY / count;
    double sxx = 0;
    double sxy = 0;
    double between = 0;
    for (Master master : masters) {
      double x = master.reference() - centre - meanX;
      double y = moments(master, centre).mean() - meanY;
      int weight = master.readings().size();
      sxx += weight * x * x;
      sxy += weight * x * y;
      between += weight * y * y;
    }
    double slope = sxy / sxx;
    double leftBetween = Math.max(0, between - slope * sxy);
    int freedomFit = masters.size() - 2;
    int freedomWithin = count - masters.size();
    double fit = leftBetween / freedomFit;
    double repeat = within / freedomWithin;
    return new LinearityStudy(
        centre + meanY - slope * (centre + meanX),
        slope,
        Math.sqrt(fit),
        Math.sqrt(repeat),
        fit / repeat,
        FDistribution.of(freedomFit, freedomWithin).inverseCumulativeProbability(LEVEL));
  }

  /**
   * Whether the straight line is enough to describe the gauge's error.
   *
   * @return false where more than a straight line is significant
   */
  public boolean straight() {
    return ratio <= critical;
  }

  private static Moments moments(Master master, double centre) {
    Moments moments = Moments.NONE;
    for (double reading : master.readings()) {
      moments = moments.plus(reading - centre);
    }
    return moments;
  }
}
