package org.borewarden.rules.watch;

import java.math.BigDecimal;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.LevelTest;
import org.borewarden.rules.part.SpreadTest;
import org.borewarden.rules.part.SubgroupTest;

/** What a chart's signal says, in English. */
final class SignalWords {
  private SignalWords() {}

  /**
   * The words.
   *
   * @param scale how the bores are counted: on a sloped line a sum or an average that signals says
   *     that the wear is not the learnt one
   * @param side the signal, as {@link ChartTests#signal} gives it
   */
  static String of(ChartTest test, ChartScale scale, int side) {
    boolean average = test instanceof ChartTest.Ewma || test instanceof ChartTest.Cusum;
    if (average && scale instanceof ChartScale.Sloped sloped) {
      boolean faster = sloped.slope().picometres() < 0 == side < 0;
      return beyondItsLimit(test)
          + (sloped.slope().picometres() == 0
              ? "bores become " + (side > 0 ? "larger" : "smaller")
              : "the tool wears " + (faster ? "faster" : "slower") + " than learnt");
    }
    return of(test, side);
  }

  /** The words on a level centre. */
  static String of(ChartTest test, int side) {
    boolean up = side > 0;
    if (test instanceof SubgroupTest subgroup) {
      return subgroup(subgroup, up);
    }
    if (test instanceof SpreadTest spread) {
      return spread instanceof SpreadTest.MovingRange range
          ? "two bores in a row more than " + number(range.sigmas()) + " sigma apart"
          : "the spread from bore to bore has grown";
    }
    if (test instanceof LevelTest level) {
      return level(level, side);
    }
    return pattern(test, up);
  }

  private static String pattern(ChartTest test, boolean up) {
    String side = up ? "above" : "below";
    if (test instanceof ChartTest.Beyond b) {
      String bores = b.of() == 1 ? "a bore" : b.count() + " of " + b.of() + " bores";
      return bores + " more than " + number(b.sigmas()) + " sigma " + side + " the centre";
    }
    if (test instanceof ChartTest.Trend t) {
      return t.bores() + " bores in a row, each " + (up ? "larger" : "smaller") + " than the last";
    }
    if (test instanceof ChartTest.Alternating a) {
      return a.bores() + " bores in a row up and down by turns";
    }
    if (test instanceof ChartTest.NearCentre n) {
      return n.bores() + " bores in a row within " + number(n.sigmas()) + " sigma of the centre";
    }
    if (test instanceof ChartTest.BothSides b) {
      return b.bores()
          + " bores in a row more than "
          + number(b.sigmas())
          + " sigma off the centre, on both sides";
    }
    if (test instanceof ChartTest.Repeats r) {
      return r.bores() + " equal bores in a row";
    }
    return beyondItsLimit(test) + "bores lie " + side + " the centre";
  }

  private static String beyondItsLimit(ChartTest test) {
    String what = test instanceof ChartTest.Ewma ? "moving average" : "cumulative sum";
    return "the " + what + " is beyond its limit, ";
  }

  private static String subgroup(SubgroupTest test, boolean up) {
    if (test instanceof SubgroupTest.Allowed allowed) {
      String what = allowed.bores() == 1 ? "a bore" : "the mean of " + allowed.bores() + " bores";
      return what + " is " + (up ? "above" : "below") + " the level that is allowed";
    }
    SubgroupTest.Subgroup subgroup = (SubgroupTest.Subgroup) test;
    return "the "
        + (subgroup.of() == SubgroupTest.Statistic.DEVIATION
            ? "standard deviation"
            : subgroup.of().key())
        + " of "
        + subgroup.bores()
        + " bores is "
        + (up ? "above" : "below")
        + " its limits";
  }

  private static String level(LevelTest test, int side) {
    String way = side > 0 ? "larger" : "smaller";
    if (test instanceof LevelTest.Jump jump) {
      String bores =
          jump.bores() == 1 ? "the last bore is" : "the last " + jump.bores() + " bores are";
      return bores + " " + way + " by a step";
    }
    if (test instanceof LevelTest.Drift drift) {
      return drift.bores()
          + " bores become "
          + way
          + (drift.wear().picometres() == 0 ? "" : " than the expected wear makes them");
    }
    return side == ChartTests.NEITHER
        ? "two bores in a row near their limits, one low and one high"
        : "bores near or beyond the " + (side > 0 ? "upper" : "lower") + " limit";
  }

  private static String number(double value) {
    return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
  }
}
