package org.borewarden.demo.machine;

import java.util.List;

/** The invented plant of the demo: gearbox housings of Northworks, bored in cell-4. */
public final class Northworks {
  /** The seat of a bearing, metric: 62.000 mm, +0.030 to 0. */
  public static final Hole BEARING_SEAT =
      Hole.of("bearing-seat", "62.000", "0.030", "0", "mm", 3, new Wear(22.0, 4.0, 6, 0.25, 1.2));

  /** The hole of a dowel, metric: 12.000 mm, +0.018 to 0. */
  public static final Hole DOWEL_HOLE =
      Hole.of("dowel-hole", "12.000", "0.018", "0", "mm", 3, new Wear(13.0, 2.0, 5, 0.08, 0.8));

  /** The bore of a cover, the inch part beside it: 0.8750 in, +0.0012 to 0. */
  public static final Hole COVER_BORE =
      Hole.of("cover-bore", "0.8750", "0.0012", "0", "in", 5, new Wear(22.0, 3.0, 6, 0.12, 1.0));

  private Northworks() {}

  /**
   * The bores of the demo, one gauge each.
   *
   * @return three holes
   */
  public static List<Hole> holes() {
    return List.of(BEARING_SEAT, DOWEL_HOLE, COVER_BORE);
  }
}
