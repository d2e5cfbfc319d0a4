package org.borewarden.rules.part;

import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.measure.Length;

/** The settings of a watch, a rule over successive bores of one stream. */
public sealed interface WatchRule {
  /**
   * The watch's name, unique in its feature.
   *
   * @return the id from the rules file
   */
  String id();

  /**
   * A run of successive bores on one side of the centre. A value exactly on the centre ends a run.
   *
   * @param id the watch's name
   * @param count how many bores make a run, 2 to 100
   * @param action what a run does
   */
  record OneSide(String id, int count, Action action) implements WatchRule {}

  /**
   * The drift forecast: how many parts until the acceptance limit.
   *
   * @param id the watch's name
   * @param probability the one-sided level p of the slope test and of the prediction bound
   * @param minimumBores n_min, the bores that must stand before a forecast is made
   * @param sigma the standard deviation of one bore about the line, where the rules give it; else
   *     that of the segment's residuals with Student's t
   * @param lead parts between the machine and the gauge, the sampling interval and the one in the
   *     cut
   * @param alertWithin the forecast, in parts, at or under which an alert is due
   * @param holdWithin the forecast, in parts, at or under which a hold is due
   * @param successive how many successive bores must say so, 1 to 10
   * @param alert what an alert does
   * @param hold what a hold does
   */
  record Forecast(
      String id,
      double probability,
      int minimumBores,
      Optional<Length> sigma,
      int lead,
      OptionalInt alertWithin,
      OptionalInt holdWithin,
      int successive,
      Action alert,
      Action hold)
      implements WatchRule {}
}
