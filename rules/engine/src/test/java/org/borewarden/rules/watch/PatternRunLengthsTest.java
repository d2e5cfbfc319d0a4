package org.borewarden.rules.watch;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.Map;
import org.apache.commons.statistics.distribution.NormalDistribution;
import org.borewarden.rules.part.ChartTest;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Run lengths without an error of simulation: the memories of the classes that judge are the states
 * of a Markov chain, over which the probability of three kinds of bore (beyond the distance above,
 * beyond it below, neither) is carried on until the hazard of a signal stands. For rules whose run
 * length is too long to be simulated in a build: Nelson's eighth signals once in 14 342 bores.
 */
class PatternRunLengthsTest {
  private static final int BORES = 50;

  /** Two memories between which the rule cannot tell: only its window counts. */
  private static ChartMemory.Window seen(ChartMemory memory, int window) {
    ChartMemory.Window of = (ChartMemory.Window) memory;
    long mask = (1L << window) - 1;
    return new ChartMemory.Window(
        of.above() & mask, of.below() & mask, Math.min(of.seen(), window));
  }

  private static double meanRunLength(ChartTest test, int window, double distance) {
    double beyond = NormalDistribution.of(0, 1).survivalProbability(distance);
    double[] places = {distance + 1, -distance - 1, 0};
    double[] chances = {beyond, beyond, 1 - 2 * beyond};
    Map<ChartMemory.Window, Double> alive = Map.of(seen(ChartTests.start(test), window), 1.0);
    double mean = 0;
    double before = 1;
    for (int bore = 1; ; bore++) {
      mean += before;
      Map<ChartMemory.Window, Double> next = new HashMap<>();
      for (Map.Entry<ChartMemory.Window, Double> state : alive.entrySet()) {
        for (int i = 0; i < places.length; i++) {
          ChartMemory memory = ChartTests.next(test, state.getKey(), places[i], bore, true);
          if (ChartTests.signal(test, memory) == 0 && chances[i] > 0) {
            next.merge(seen(memory, window), state.getValue() * chances[i], Double::sum);
          }
        }
      }
      double after = next.values().stream().mapToDouble(p -> p).sum();
      if (bore == BORES) {
        // The hazard 1 - after/before is now the same at every bore: the rest is geometric.
        return mean + after * before / (before - after);
      }
      before = after;
      alive = next;
    }
  }

  /**
   * Nelson (1984) test 8, from a chain of two counts (bores off the centre, of these on one side),
   * computed elsewhere; without the condition of both sides it would be (1 - p^8)/((1 - p) p^8) =
   * 14 251.
   */
  @ParameterizedTest
  @CsvSource({"8, 1, 14342.295594794172", "5, 1, 478.2217191264394", "4, 1, 159.33527743213008"})
  void boresOffTheCentreOnBothSidesHaveTheRunLengthOfTheChain(
      int bores, double distance, double expected) {
    assertThat(meanRunLength(new ChartTest.BothSides(bores, distance), bores, distance))
        .isCloseTo(expected, within(1e-8 * expected));
  }

  /**
   * Champ and Woodall (1987) and the computed figures of {@code RunLengthsTest}, here to all digits
   * that they have: 1/P beyond 3 sigma, 2^9 - 1 for nine on a side.
   */
  @ParameterizedTest
  @CsvSource({"1, 1, 3, 370.3983", "9, 9, 0, 511.0000", "2, 3, 2, 510.6885", "4, 5, 1, 291.3192"})
  void theOtherWindowsHaveTheRunLengthsThatAreSimulatedBesides(
      int count, int of, double distance, double expected) {
    assertThat(meanRunLength(new ChartTest.Beyond(count, of, distance), of, distance))
        .isCloseTo(expected, within(6e-5));
  }
}
