package org.borewarden.rules.part;

import java.util.List;
import org.borewarden.rules.measure.Length;

/**
 * Several features that one tool cuts, as one stream: each bore is counted from its own centre in
 * its own sigma, so that charts see the tool and not the difference of the features. One part is
 * one point: metrology.md 4.9. The forecast stays with each feature, with a slope of its own or
 * that of all; a cell shows the earliest.
 *
 * @param id the pool's name, unique in the file
 * @param members the features, at least 2
 * @param charts the charts over their common stream; at least 1, save with a common slope
 * @param commonSlope whether the forecasts of its features share one slope, each with its own level
 */
public record Pool(
    String id, List<Member> members, List<WatchRule.Chart> charts, boolean commonSlope) {
  /** The most features of a pool. */
  public static final int MOST = 50;

  /**
   * A feature of a pool.
   *
   * @param feature its id; it has a centre
   * @param sigma the standard deviation of one bore of it, above 0
   */
  public record Member(String feature, Length sigma) {
    /**
     * Checks the range.
     *
     * @throws IllegalArgumentException when sigma is not above 0
     */
    public Member {
      if (!sigma.isAbove(Length.ZERO)) {
        throw new IllegalArgumentException("sigma must be above 0");
      }
    }
  }

  /**
   * Copies the lists and checks them.
   *
   * @throws IllegalArgumentException when the id is not a name, a feature or a chart is there
   *     twice, or too few or too many are
   */
  public Pool {
    members = List.copyOf(members);
    charts = List.copyOf(charts);
    Check.name("the id of a pool", id);
    Check.range("the features of a pool", members.size(), 2, MOST);
    Check.unique("feature", members.stream().map(Member::feature).toList());
    Check.unique("watch", charts.stream().map(WatchRule.Chart::id).toList());
  }
}
