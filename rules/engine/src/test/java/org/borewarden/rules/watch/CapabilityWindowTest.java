package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.apache.commons.math3.stat.regression.OLSMultipleLinearRegression;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.stat.Capability;
import org.junit.jupiter.api.Test;

/** Capability over the last bores of a stream. */
class CapabilityWindowTest {
  private static final long SEED = Long.getLong("borewarden.seed", 20_261_127);
  private static final int WINDOW = 40;
  private static final WatchRule.Capability RULE =
      new WatchRule.Capability("c", 0.95, OptionalInt.of(WINDOW));

  private final Seat seat = Seat.of(RULE);
  private final List<double[]> fed = new ArrayList<>();
  private int part;
  private int segment;

  private void bore(double um) {
    part++;
    long off = Math.round(um * 1e6);
    seat.bore(part, new Length(off));
    fed.add(new double[] {part, off, segment});
  }

  private void segment(SegmentCause cause) {
    seat.newSegment(cause);
    segment++;
  }

  private Optional<CapabilityView> view() {
    return Watches.capabilityWindow(RULE, seat.state, seat.feature);
  }

  private List<double[]> newest() {
    return fed.subList(Math.max(0, fed.size() - WINDOW), fed.size());
  }

  /** The residual sigma of a common slope with own levels, by a library of least squares. */
  private double residual(List<double[]> bores) {
    List<Double> segments = bores.stream().map(b -> b[2]).distinct().toList();
    double[] y = bores.stream().mapToDouble(b -> b[1]).toArray();
    double[][] x =
        bores.stream()
            .map(
                b -> {
                  double[] row = new double[segments.size() + 1];
                  row[segments.indexOf(b[2])] = 1;
                  row[segments.size()] = b[0] - bores.get(0)[0];
                  return row;
                })
            .toArray(double[][]::new);
    OLSMultipleLinearRegression library = new OLSMultipleLinearRegression();
    library.setNoIntercept(true);
    library.newSampleData(y, x);
    return Math.sqrt(library.estimateErrorVariance());
  }

  /** Apache Commons Math: standard deviation, and least squares with a level for each segment. */
  @Test
  void theIndicesAreThoseOfTheLastBoresAlone() {
    Random random = new Random(SEED);
    for (int i = 0; i < 200; i++) {
      bore(15 + random.nextGaussian());
      int dice = random.nextInt(20);
      if (dice < 3) {
        segment(
            dice == 0
                ? SegmentCause.TOOL_CHANGED
                : dice == 1 ? SegmentCause.OFFSET_ENTERED : SegmentCause.GAP);
      }
      if (i < 9) {
        assertThat(view()).as("under ten bores").isEmpty();
        continue;
      }
      List<double[]> newest = newest();
      DescriptiveStatistics library = new DescriptiveStatistics();
      newest.forEach(b -> library.addValue(b[1]));
      CapabilityView view = view().orElseThrow();
      double pp = 30e6 / (6 * library.getStandardDeviation());
      assertThat(view.bores()).isEqualTo(newest.size());
      assertThat(view.lives()).isZero();
      assertThat(view.partial()).isTrue();
      assertThat(view.pp().orElseThrow().value())
          .as("bore %d, seed %d", i, SEED)
          .isCloseTo(pp, within(1e-10 * pp));
      if (!view.drifts()) {
        double cp = 30e6 / (6 * residual(newest));
        assertThat(view.cp().orElseThrow().value())
            .as("bore %d, seed %d", i, SEED)
            .isCloseTo(cp, within(1e-8 * cp));
      }
    }
    assertThat(((CapabilityState) seat.state).window().parts()).hasSize(WINDOW);
  }

  /** An old fault of the stream, forgotten by the window and kept by the lives. */
  @Test
  void whatIsOlderThanTheWindowDoesNotCount() {
    Random random = new Random(SEED);
    seat.newSegment(SegmentCause.TOOL_CHANGED);
    for (int i = 0; i < 10; i++) {
      bore(33 + random.nextGaussian());
    }
    for (int i = 0; i < WINDOW - 1; i++) {
      bore(15 + random.nextGaussian());
    }
    assertThat(view().orElseThrow().over()).isCloseTo(1.0 / WINDOW, within(1e-12));
    bore(15);
    assertThat(view().orElseThrow().over()).isZero();
    assertThat(Watches.capability(RULE, seat.state, seat.feature).orElseThrow().over())
        .isPositive();
  }

  /** Wear of half a micrometre a part: no Cp and no interval, and the room at both ends. */
  @Test
  void aWearingToolHasNoCpOverAWindowEither() {
    Random random = new Random(SEED);
    for (int i = 0; i < 100; i++) {
      if (i % 25 == 0) {
        segment(SegmentCause.TOOL_CHANGED);
      }
      bore(22 - 0.5 * (i % 25) + 0.5 * random.nextGaussian());
    }
    CapabilityView view = view().orElseThrow();
    assertThat(view.drifts()).as("seed %d", SEED).isTrue();
    assertThat(view.cp()).isEmpty();
    assertThat(view.cpk()).isEmpty();
    assertThat(view.ppk().orElseThrow().low()).isEmpty();
    // 30 - 22 and 22 - 12, each over three sigmas of 0.5
    assertThat(view.roomAtStart().orElseThrow()).isCloseTo(8 / 1.5, within(1.8));
    assertThat(view.roomAtEnd().orElseThrow()).isCloseTo(10 / 1.5, within(2.2));
  }

  /** The interval is that of the bores in the window, as the library call gives it. */
  @Test
  void theIntervalOfPpIsThatOfSoManyBores() {
    for (int i = 0; i < 90; i++) {
      bore(14 + i % 3);
    }
    DescriptiveStatistics library = new DescriptiveStatistics();
    newest().forEach(b -> library.addValue(b[1]));
    CapabilityView view = view().orElseThrow();
    assertThat(view.drifts()).isFalse();
    Capability.Index index =
        Capability.ofTolerance(30e6, library.getStandardDeviation(), WINDOW, 0.95);
    assertThat(view.pp().orElseThrow().low().orElseThrow())
        .isCloseTo(index.low(), within(1e-9 * index.low()));
  }

  @Test
  void withoutAWindowInTheRulesNoBoreIsKept() {
    Seat without = Seat.of(new WatchRule.Capability("c", 0.95, OptionalInt.empty()));
    for (int n = 1; n <= 30; n++) {
      without.bore(n, new Length(n));
    }
    assertThat(((CapabilityState) without.state).window()).isEqualTo(CapabilityWindow.NONE);
    assertThat(Watches.capabilityWindow(without.rule, without.state, without.feature)).isEmpty();
    seat.newSegment(SegmentCause.RULES_CHANGED);
    assertThat(((CapabilityState) seat.state).window()).isEqualTo(CapabilityWindow.NONE);
  }
}
