package org.borewarden.demo.machine;

import java.util.SplittableRandom;

/**
 * The cutting edge in one boring tool: each cut gives a deviation, and a new edge begins anew.
 * Equal seeds give equal bores. Not thread-safe.
 */
public final class Insert {
  private final Wear wear;
  private final SplittableRandom random;
  private int parts;
  private int edge = 1;
  private double offsetMicrometres;

  /**
   * Makes a fresh insert.
   *
   * @param wear how it wears
   * @param seed of its noise
   */
  public Insert(Wear wear, long seed) {
    this.wear = wear;
    this.random = new SplittableRandom(seed);
  }

  /**
   * Cuts one bore.
   *
   * @return its deviation from nominal on diameter, in micrometres
   */
  public double cut() {
    double noise = wear.noiseMicrometres() * random.nextGaussian();
    return wear.micrometresAfter(parts++) + offsetMicrometres + noise;
  }

  /** Turns or changes the insert: a fresh edge, no offset. */
  public void change() {
    parts = 0;
    edge++;
    offsetMicrometres = 0;
  }

  /**
   * Enters a tool offset at the machine.
   *
   * @param micrometres the change on diameter, positive for larger bores
   */
  public void offset(double micrometres) {
    offsetMicrometres += micrometres;
  }

  /** Breaks a corner off: every further bore of this edge is much larger and rough. */
  public void chip() {
    offsetMicrometres += 60;
  }

  /**
   * The edge that cuts.
   *
   * @return 1 for the first, one more at each change
   */
  public int edge() {
    return edge;
  }

  /**
   * The parts that this edge has cut.
   *
   * @return 0 for a fresh one
   */
  public int parts() {
    return parts;
  }
}
