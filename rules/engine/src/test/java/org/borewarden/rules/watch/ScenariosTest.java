package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.Containment;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.PartOrder;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.stat.Line;
import org.borewarden.rules.stat.Moments;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Every figure of the scenarios of metrology.md 7 that watches answer for, computed independently
 * there, as it is printed there. The findings bore by bore are in the transcripts.
 */
class ScenariosTest {
  private static final List<Integer> S6 = ForecastFiguresTest.WEAR;
  private static final int[] S7 = {
    13, 12, 11, 13, 10, 12, 12, 11, 12, 13, 12, 14, 12, 12, 13, 13, 13, 12, 13, 11
  };
  private static final int[] S8 = {
    21, 20, 20, 17, 18, 18, 17, 15, 14, 15, 14, 13, 12, 12, 8, 7, 6, 4, 3, 2
  };
  private static final int[] S15_A = {14, 15, 13, 14, 15, 14, 13, 14};
  private static final int[] S15_B = {8, 7, 8, 9, 8, 8, 7, 9};
  private static final Optional<Length> ONE = Optional.of(Lengths.of("1 um"));
  private static final ChartScale LEARNT_WEAR =
      new ChartScale.Sloped(Lengths.of("-0.8 um"), Lengths.of("1.1 um"));

  private static Length um(int deviation) {
    return Lengths.of(deviation + " um");
  }

  private static String print(String format, Object... figures) {
    return String.format(Locale.ROOT, format, figures);
  }

  /** The figures of the segment after so many bores, without the end of what may be foretold. */
  private static Outlook wearAt(int bores) {
    Seat seat = Seat.of(Seat.forecast(ONE, 2));
    for (int n = 1; n <= bores; n++) {
      seat.bore(n, um(S6.get(n - 1)));
    }
    return Forecaster.outlook(
        (WatchRule.Forecast) seat.rule,
        (ForecastState) seat.state,
        seat.feature.nominal(),
        seat.acceptance.zone(),
        1000);
  }

  private static String printed(int bores) {
    Outlook at = wearAt(bores);
    Line.Crossing mean = at.crossing().orElseThrow();
    return print(
        "b %.4f, mean %.2f (%.2f..%.2f), h %d",
        at.line().orElseThrow().slope() / 1e6,
        mean.at(),
        mean.earliest(),
        mean.latest(),
        at.partsLeft().orElseThrow());
  }

  /**
   * S6. Of the twelfth bore only h is not told by the agent: 15 parts ahead are farther than its
   * eleven parts of data are long. Of the 23rd the scenario prints the mean crossing as 5.39; it is
   * 5.3847 (level 4.315 um at the head over a fall of 0.8014 um), so 5.38 stands here.
   */
  @Test
  void theWearingInsertHasTheFiguresOfS6() {
    assertThat(printed(12)).isEqualTo("b -0.7308, mean 18.56 (14.10..25.57), h 15");
    assertThat(wearAt(17).partsLeft()).hasValue(9);
    assertThat(printed(22)).startsWith("b -0.8103,").endsWith(", h 4");
    assertThat(printed(23)).isEqualTo("b -0.8014, mean 5.38 (4.12..6.85), h 4");
    assertThat(print("%.4f", wearAt(23).crossing().orElseThrow().at())).isEqualTo("5.3847");
    assertThat(S6.indexOf(-3) + 1 - 23).as("bores from hold to undersize").isEqualTo(7);
  }

  /** S6: the first alert and the first hold, plain and with the guard band of 2.468 um. */
  @ParameterizedTest
  @CsvSource({"0 um, 18, 23", "2.468 um, 15, 21"})
  void theWearingInsertIsAlertedAndHeldAtTheBoresOfS6(String guard, int alert, int hold) {
    Seat plain = Seat.of(Seat.forecast(ONE, 2));
    Seat seat =
        new Seat(
            plain.feature.nominal(),
            plain.feature.limits(),
            plain.feature.centre().orElseThrow(),
            guard.startsWith("0 ")
                ? new DecisionRule.Simple()
                : DecisionRule.Guard.of(BigDecimal.ONE, Lengths.of(guard)),
            plain.rule);
    List<String> first = new ArrayList<>();
    for (int n = 1; n <= 30; n++) {
      for (Finding finding : seat.bore(n, um(S6.get(n - 1))).findings()) {
        String level = finding.action().level().toString();
        if (first.stream().noneMatch(f -> f.endsWith(level))) {
          first.add(n + " " + level);
        }
      }
    }
    assertThat(first).containsExactly(alert + " ALERT", hold + " HOLD");
  }

  /** S6 on every fourth part, lead 8, one bore suffices. */
  @Test
  void onEveryFourthPartTheInsertIsHeldAtPart97() {
    Seat seat =
        Seat.of(
            new WatchRule.Forecast(
                "wear",
                0.95,
                12,
                ONE,
                8,
                OptionalInt.empty(),
                OptionalInt.empty(),
                1,
                Seat.ALERT,
                Seat.HOLD,
                Optional.empty()));
    List<String> told = new ArrayList<>();
    for (int n = 1; n <= 25; n++) {
      WatchStep step = seat.bore(4L * n - 3, um(S6.get(n - 1)));
      boolean held = step.findings().stream().anyMatch(f -> f.action().equals(Seat.HOLD));
      OptionalInt left = step.forecast().orElseThrow().partsLeft();
      if (n >= 23 || held) {
        told.add(print("part %d h %d%s", 4 * n - 3, left.orElse(0), held ? ", hold" : ""));
      }
    }
    assertThat(told).containsExactly("part 89 h 13", "part 93 h 9", "part 97 h 6, hold");
  }

  /** S6: eight on one side of the middle fires at bore 8, falsely. */
  @Test
  void eightOnOneSideFiresFalselyAtTheEighthBoreOfS6() {
    Seat seat = Seat.of(new WatchRule.OneSide("eight", 8, Seat.ALERT));
    for (int n = 1; n <= 8; n++) {
      assertThat(seat.bore(n, um(S6.get(n - 1))).findings()).hasSize(n == 8 ? 1 : 0);
    }
  }

  /** S7: no forecast and no finding at any n, with one bore that says so or two, s given or not. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void withoutDriftThereIsNoForecastAtAnyBoreOfS7(boolean given) {
    for (int successive = 1; successive <= 2; successive++) {
      Seat seat = Seat.of(Seat.forecast(given ? ONE : Optional.empty(), successive));
      for (int n = 1; n <= S7.length; n++) {
        WatchStep step = seat.bore(n, um(S7[n - 1]));
        ForecastView view = step.forecast().orElseThrow();
        assertThat(step.findings()).isEmpty();
        assertThat(view.partsLeft()).isEmpty();
        assertThat(view.meanCrossing()).isEmpty();
        assertThat(view.noForecast()).hasValue(n < 12 ? "too-few" : "no-slope");
      }
    }
  }

  private static Seat sloped(ChartTest test) {
    return Seat.of(new WatchRule.Chart("slope", test, LEARNT_WEAR, Seat.ALERT));
  }

  /**
   * S8 on the bores of S6: the largest sums, and the largest residual by an average of weight 1.
   */
  @Test
  void healthyWearHasTheFiguresOfS8() {
    Seat sums = sloped(new ChartTest.Cusum(0.5, 5, 0));
    Seat residuals = sloped(new ChartTest.Ewma(1, 6, true));
    double upper = 0;
    double lower = 0;
    double residual = 0;
    for (int n = 1; n <= S6.size(); n++) {
      assertThat(sums.bore(n, um(S6.get(n - 1))).findings()).isEmpty();
      residuals.bore(n, um(S6.get(n - 1)));
      ChartMemory.Sums at = (ChartMemory.Sums) ((ChartState) sums.state).memory();
      ChartMemory.Average w = (ChartMemory.Average) ((ChartState) residuals.state).memory();
      upper = Math.max(upper, at.upper());
      lower = Math.max(lower, at.lower());
      residual = Math.max(residual, Math.abs(w.value()));
    }
    assertThat(print("max C+ %.3f, C- %.3f, max |w| %.3f", upper, lower, residual))
        .isEqualTo("max C+ 1.319, C- 1.495, max |w| 1.995");
  }

  @Test
  void aToolThatWearsFasterHasTheFiguresOfS8() {
    Seat seat = sloped(new ChartTest.Cusum(0.5, 5, 0));
    List<String> told = new ArrayList<>();
    for (int n = 1; n <= 18; n++) {
      WatchStep step = seat.bore(n, um(S8[n - 1]));
      ChartMemory.Sums at = (ChartMemory.Sums) ((ChartState) seat.state).memory();
      if (n >= 15) {
        told.add(print("%.3f", at.lower()));
      }
      step.findings().forEach(finding -> told.add(finding.words()));
    }
    assertThat(told)
        .containsExactly(
            "1.382",
            "2.818",
            "4.314",
            "6.755",
            "the cumulative sum is beyond its limit, the tool wears faster than learnt");
  }

  static Feature named(String id, String centre) {
    Feature.OutOfLimit out = new Feature.OutOfLimit(Feature.Disposition.REVIEW, Seat.ALERT);
    Seat seat = Seat.of(new WatchRule.OneSide("eight", 8, Seat.ALERT));
    return new Feature(
        id,
        1,
        "housing",
        "g1",
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        seat.feature.nominal(),
        seat.feature.limits(),
        Unit.MILLIMETRE,
        new DecisionRule.Simple(),
        Optional.of(seat.feature.nominal().plus(Lengths.of(centre))),
        1,
        out,
        out,
        List.of());
  }

  private static WatchRule.Chart pooled(String id, ChartTest test) {
    Action action = Seat.ALERT;
    return new WatchRule.Chart(id, test, new ChartScale.Pooled(), action);
  }

  /** S15: A and B by turns, raw and standardised, and 4 um more on A. */
  @Test
  void twoFeaturesOfOneToolHaveTheFiguresOfS15() {
    Seat raw =
        Seat.of(
            new WatchRule.Chart(
                "turns", new ChartTest.Alternating(14), new ChartScale.None(), Seat.ALERT));
    Pool pool =
        new Pool(
            "tool",
            List.of(
                new Pool.Member("a", Lengths.of("0.9 um")),
                new Pool.Member("b", Lengths.of("0.9 um"))),
            List.of(
                pooled("far", new ChartTest.Beyond(1, 1, 3)),
                pooled("two", new ChartTest.Beyond(2, 3, 2)),
                pooled("four", new ChartTest.Beyond(4, 5, 1)),
                pooled("side", new ChartTest.Beyond(9, 9, 0)),
                pooled("trend", new ChartTest.Trend(6)),
                pooled("turns", new ChartTest.Alternating(14)),
                pooled("near", new ChartTest.NearCentre(15, 1)),
                pooled("both", new ChartTest.BothSides(8, 1))),
            false);
    Feature a = named("a", "14 um");
    Feature b = named("b", "8 um");
    PoolState state = Pools.start(pool);
    Moments all = Moments.NONE;
    List<String> told = new ArrayList<>();
    for (int n = 1; n <= 16; n++) {
      int deviation = n % 2 == 1 ? S15_A[n / 2] : S15_B[n / 2 - 1];
      all = all.plus(deviation);
      int point = n;
      raw.bore(n, um(deviation)).findings().forEach(f -> told.add("raw " + point));
      PoolStep step = taken(pool, state, n % 2 == 1 ? a : b, n, deviation);
      step.findings().forEach(f -> told.add(f.key()));
      state = step.next();
    }
    assertThat(told).containsExactly("raw 14");
    assertThat(print("%.1f sigma", 4 / all.standardDeviation())).isEqualTo("1.3 sigma");
    PoolStep more = taken(pool, state, a, 17, 18);
    assertThat(print("%.1f sigma", more.next().sum())).isEqualTo("4.4 sigma");
    assertThat(more.findings()).extracting(Finding::key).containsExactly("run/tool/far");
  }

  static PoolStep taken(Pool pool, PoolState state, Feature feature, long part, int deviation) {
    PartContext context =
        new PartContext(
            OptionalLong.of(part),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    Length value = feature.nominal().plus(um(deviation));
    Bore bore = new Bore(feature.id(), part, value, Unit.MILLIMETRE, 3, List.of(part), context);
    return Pools.step(
        pool,
        state,
        feature,
        bore,
        Judge.judge(Acceptance.of(feature.limits(), new DecisionRule.Simple()), value));
  }

  /**
   * S20, the first twelve of S6 from the last to the first. {@code arrival} is what the ten-line
   * rules file of the getting started page has: it believes the arrival, and the slope has the
   * wrong sign. That the order is unknown is said where {@code order: serial} asks for serials and
   * none comes.
   */
  @ParameterizedTest
  @CsvSource({
    "ARRIVAL, A, +0.731",
    "SERIAL, A, -0.731",
    "SERIAL, , order-unknown",
    "UNKNOWN, A, order-unknown"
  })
  void readBackwardsTheInsertHasTheFiguresOfS20(PartOrder order, String letter, String told) {
    Seat seat = Seat.of(Seat.forecast(ONE, 1)).ordered(order);
    WatchStep step = seat.newSegment(SegmentCause.GAP);
    for (int n = 12; n >= 1; n--) {
      step = seat.bore(13L - n, letter == null ? "-" : letter + n, um(S6.get(n - 1)));
      assertThat(step.findings())
          .as("a hold, or an alert")
          .hasSize(order == PartOrder.ARRIVAL && n == 1 ? 1 : 0);
    }
    ForecastView view = step.forecast().orElseThrow();
    assertThat(
            view.slope().isPresent()
                ? print("%+.3f", view.slope().getAsDouble() * 1e6)
                : view.noForecast().orElseThrow())
        .isEqualTo(told);
  }

  /** S21; the whole story is {@code containment.txt}. */
  @Test
  void thePartsOfS21AreContained() {
    assertThat(Containment.of(OptionalLong.of(35), 40, 2).words(Map.of()))
        .containsExactly("36", "37", "38", "39", "40", "41", "42");
  }
}
