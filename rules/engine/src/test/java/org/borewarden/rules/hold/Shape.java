package org.borewarden.rules.hold;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/**
 * What two holds must share to behave alike for ever after: counts, times and names are left out,
 * number and revision are moved to a fixed base, and the causes of the agent's own making are one.
 */
final class Shape {
  static final int BASE = 1000;

  private static final String OWN = Reason.UNCLEAN_STOP.key();

  private Shape() {}

  static HoldState of(HoldState s) {
    return new HoldState(
        s.phase(),
        s.kind(),
        s.number() == 0 ? 0 : BASE,
        BASE,
        BASE,
        keys(s.causes().stream().map(Cause::key).toList()).stream().map(Shape::cause).toList(),
        s.conditions().stream().sorted(Comparator.comparing(Condition::reason)).toList(),
        s.heard(),
        false,
        s.fresh(),
        s.trial(),
        s.bypass().map(Shape::bypass),
        List.of(),
        s.grant().map(Shape::grant),
        s.permitKept(),
        List.of(),
        Cell4.AT,
        HoldState.AGENT,
        false);
  }

  private static Grant grant(Grant grant) {
    return new Grant(
        grant.kind(), BASE, grant.trial(), grant.bypass().map(Shape::bypass), grant.by());
  }

  private static Bypass bypass(Bypass bypass) {
    return new Bypass(keys(bypass.causes()), bypass.until(), bypass.by());
  }

  private static List<String> keys(List<String> keys) {
    return keys.stream().map(k -> k.length() == 1 ? k : OWN).distinct().sorted().toList();
  }

  private static Cause cause(String key) {
    Reason reason = key.equals(OWN) ? Reason.UNCLEAN_STOP : Reason.FORECAST;
    return new Cause(key, reason, Optional.empty(), StopKind.END_OF_PART, 7, 1);
  }
}
