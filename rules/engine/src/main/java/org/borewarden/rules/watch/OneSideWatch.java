package org.borewarden.rules.watch;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.WatchRule;

/**
 * A run of successive bores on one side of the centre. A value exactly on the centre ends a run.
 *
 * <p>It finds once, when the count is reached; it stands, without being found again, until a bore
 * on the centre or on the other side breaks the run, and only then can the next run be found. A
 * bore whose part number is not after the last one has no place in the order and is left out.
 */
final class OneSideWatch {
  private OneSideWatch() {}

  static String key(WatchRule rule, Feature feature) {
    return Reason.RUN.key() + "/" + feature.id() + "/" + rule.id();
  }

  static WatchStep step(WatchRule.OneSide rule, OneSideState before, Feature feature, Bore bore) {
    boolean counterSetBack =
        before.started() && before.lastPart() - bore.part() > Watches.LATE_PARTS;
    if (before.started() && bore.part() <= before.lastPart() && !counterSetBack) {
      return new WatchStep(before, List.of(), List.of(), false, Optional.empty());
    }
    Length centre =
        feature
            .centre()
            .orElseThrow(() -> new IllegalArgumentException("a run watch needs a centre"));
    int side = Integer.signum(bore.followed().compareTo(centre));
    boolean goesOn = !counterSetBack && side != 0 && side == before.side();
    int run = goesOn ? Math.min(before.run(), Integer.MAX_VALUE - 1) + 1 : Math.abs(side);
    boolean stood = before.stands() && goesOn;
    boolean stands = run >= rule.count();
    return new WatchStep(
        new OneSideState(bore.part(), true, side, run, stands),
        stands && !stood ? List.of(finding(rule, feature, side)) : List.of(),
        before.stands() && !stood ? List.of(key(rule, feature)) : List.of(),
        true,
        Optional.empty());
  }

  private static Finding finding(WatchRule.OneSide rule, Feature feature, int side) {
    return new Finding(
        key(rule, feature),
        feature.id(),
        Reason.RUN,
        rule.action(),
        OptionalInt.empty(),
        rule.count() + " bores in a row " + (side > 0 ? "above" : "below") + " the centre");
  }
}
