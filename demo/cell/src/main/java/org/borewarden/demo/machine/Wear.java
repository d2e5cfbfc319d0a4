package org.borewarden.demo.machine;

/**
 * How an insert wears: as its edge goes back, bores get smaller; fast at first while the edge beds
 * in, then by a steady amount each part, with noise from part to part. Invented figures.
 *
 * @param startMicrometres the deviation of the first bore from nominal, on diameter
 * @param beddingMicrometres how much smaller bores get by bedding in, in the end
 * @param beddingParts the parts in which most (63 %) of the bedding is done, at least 1
 * @param perPartMicrometres how much smaller each further bore is
 * @param noiseMicrometres the standard deviation from part to part
 */
public record Wear(
    double startMicrometres,
    double beddingMicrometres,
    int beddingParts,
    double perPartMicrometres,
    double noiseMicrometres) {
  /** Checks the figures. */
  public Wear {
    if (beddingParts < 1
        || beddingMicrometres < 0
        || perPartMicrometres < 0
        || noiseMicrometres < 0) {
      throw new IllegalArgumentException(
          "expected at least one bedding part and no negative wear or noise");
    }
  }

  /**
   * The deviation without noise.
   *
   * @param parts the parts that this edge has cut before
   * @return micrometres from nominal, on diameter
   */
  public double micrometresAfter(int parts) {
    double bedded = beddingMicrometres * (1 - Math.exp(-(double) parts / beddingParts));
    return startMicrometres - bedded - perPartMicrometres * parts;
  }
}
