package org.borewarden.rules.watch;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.RangeConstants;

/**
 * A chart over single bores as a watch. It finds once, when its test signals; it stands, without
 * being found again, until a bore gives no signal or one on the other side. While a baseline learns
 * it finds nothing. A bore whose part number is not after the last one has no place in the order
 * and is left out.
 */
final class ChartWatch {
  private ChartWatch() {}

  static String key(WatchRule.Chart rule, Feature feature) {
    return key(rule, feature.id());
  }

  static String key(WatchRule.Chart rule, String stream) {
    return reason(rule.test()).key() + "/" + stream + "/" + rule.id();
  }

  private static Reason reason(ChartTest test) {
    if (test instanceof ChartTest.Repeats) {
      return Reason.REPEATS;
    }
    if (test instanceof SpreadTest || isSpread(test)) {
      return Reason.SPREAD;
    }
    if (test instanceof LevelTest.Drift) {
      return Reason.DRIFT;
    }
    return test instanceof ChartTest.Ewma
            || test instanceof ChartTest.Cusum
            || test instanceof LevelTest.Jump
            || test instanceof SubgroupTest
        ? Reason.SHIFT
        : Reason.RUN;
  }

  private static boolean isSpread(ChartTest test) {
    return test instanceof SubgroupTest.Subgroup subgroup
        && subgroup.of() != SubgroupTest.Statistic.MEAN;
  }

  static ChartState start(WatchRule.Chart rule) {
    return ChartState.fresh(ChartState.Learnt.NONE, ChartTests.start(rule.test()));
  }

  static ChartState newSegment(WatchRule.Chart rule, ChartState before, SegmentCause cause) {
    return cause == SegmentCause.RULES_CHANGED
        ? start(rule)
        : ChartState.fresh(before.learnt(), ChartTests.start(rule.test()));
  }

  static WatchStep step(WatchRule.Chart rule, ChartState before, Feature feature, Bore bore) {
    boolean setBack = before.started() && before.lastPart() - bore.part() > Watches.LATE_PARTS;
    if (before.started() && bore.part() <= before.lastPart() && !setBack) {
      return new WatchStep(before, List.of(), List.of(), false, Optional.empty());
    }
    ChartState base = setBack ? newSegment(rule, before, SegmentCause.GAP) : before;
    double deviation = off(bore.followed(), feature);
    double centre =
        feature.centre().isPresent() ? off(feature.centre().get(), feature) : Double.NaN;
    boolean follows = base.started() && bore.part() - base.lastPart() == feature.sampledEvery();
    ChartState next = taken(rule, base, centre, deviation, bore.part(), follows);
    boolean found = next.side() != 0 && (setBack || next.side() != before.side());
    boolean cleared = before.side() != 0 && (setBack || next.side() != before.side());
    return new WatchStep(
        next,
        found ? List.of(finding(rule, feature.id(), feature.id(), next.side())) : List.of(),
        cleared && next.side() == 0 ? List.of(key(rule, feature)) : List.of(),
        true,
        Optional.empty());
  }

  private static double off(Length size, Feature feature) {
    return Math.subtractExact(size.picometres(), feature.nominal().picometres());
  }

  /** A point of a pool, which is in sigmas already. */
  static ChartState pooled(WatchRule.Chart rule, ChartState base, long part, double z) {
    boolean follows = base.started() && part - base.lastPart() == 1;
    return taken(rule, base, Double.NaN, z, part, follows);
  }

  private static ChartState taken(
      WatchRule.Chart rule,
      ChartState base,
      double centre,
      double deviation,
      long part,
      boolean follows) {
    long firstPart = base.started() ? base.firstPart() : part;
    double w = standardised(rule.scale(), base, centre, part - firstPart, deviation);
    boolean known = !Double.isNaN(w);
    ChartMemory memory =
        known ? ChartTests.next(rule.test(), base.memory(), w, part, follows) : base.memory();
    return new ChartState(
        part,
        true,
        learnt(rule.scale(), base, deviation),
        level(rule.scale(), base, part - firstPart, deviation),
        firstPart,
        deviation,
        memory,
        known ? ChartTests.signal(rule.test(), memory) : 0);
  }

  private static ChartState.Learnt learnt(ChartScale scale, ChartState base, double deviation) {
    ChartState.Learnt before = base.learnt();
    if (!(scale instanceof ChartScale.Baseline baseline) || before.bores() >= baseline.bores()) {
      return before;
    }
    int bores = before.bores() + 1;
    double mean = before.mean() + (deviation - before.mean()) / bores;
    return base.started()
        ? new ChartState.Learnt(
            bores,
            mean,
            before.ranges() + 1,
            before.rangeSum() + Math.abs(deviation - base.lastDeviation()))
        : new ChartState.Learnt(bores, mean, before.ranges(), before.rangeSum());
  }

  private static Moments level(ChartScale scale, ChartState base, long parts, double deviation) {
    return scale instanceof ChartScale.Sloped sloped
        ? base.level().plus(deviation - (double) sloped.slope().picometres() * parts)
        : base.level();
  }

  /** In sigmas from the centre; NaN while that is not known yet. */
  private static double standardised(
      ChartScale scale, ChartState base, double centre, long parts, double deviation) {
    if (scale instanceof ChartScale.Given given) {
      return (deviation - centre) / given.sigma().picometres();
    }
    if (scale instanceof ChartScale.Zones zones) {
      double off = deviation - centre;
      return off / (off > 0 ? zones.over() : zones.below()).picometres();
    }
    if (scale instanceof ChartScale.Sloped sloped) {
      Moments level = base.level();
      double residual = deviation - (double) sloped.slope().picometres() * parts - level.mean();
      return level.count() == 0
          ? Double.NaN
          : residual / (sloped.sigma().picometres() * Math.sqrt(1 + 1.0 / level.count()));
    }
    if (scale instanceof ChartScale.Baseline baseline) {
      ChartState.Learnt learnt = base.learnt();
      double sigma = learnt.rangeSum() / learnt.ranges() / RangeConstants.of(2).d2();
      return learnt.bores() < baseline.bores() || !(sigma > 0)
          ? Double.NaN
          : (deviation - learnt.mean()) / sigma;
    }
    return deviation;
  }

  /**
   * What a chart saw.
   *
   * @param stream the feature, or the pool, whose stream it is
   * @param feature the feature of the bore that showed it
   */
  static Finding finding(WatchRule.Chart rule, String stream, String feature, int side) {
    return new Finding(
        key(rule, stream),
        feature,
        reason(rule.test()),
        rule.action(),
        OptionalInt.empty(),
        SignalWords.of(rule.test(), rule.scale(), side));
  }
}
