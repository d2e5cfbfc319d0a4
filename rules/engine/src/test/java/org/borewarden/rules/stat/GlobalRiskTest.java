package org.borewarden.rules.stat;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import org.borewarden.rules.Resource;
import org.junit.jupiter.api.Test;

class GlobalRiskTest {
  private static final double NONE = Double.NEGATIVE_INFINITY;

  /** NCSLI RP-19 (draft), to the digits that were printed and to those of the integral. */
  @Test
  void thePublishedRisksAtARatioOfFour() {
    List<String> rows = Resource.lines(getClass(), "global_risk.csv");
    assertThat(rows).hasSize(7);
    for (String row : rows.subList(1, rows.size())) {
      double[] cell = List.of(row.split(",", -1)).stream().mapToDouble(Double::valueOf).toArray();
      GlobalRisk risk = GlobalRisk.of(0, cell[1], cell[2], -1, 1, -1, 1);
      assertThat(1 - risk.outOfLimit()).as(row).isCloseTo(cell[0], within(1e-12));
      assertThat(risk.consumer() * 100).as(row).isCloseTo(cell[3], within(1e-6));
      assertThat(risk.consumer() * 100).as(row).isCloseTo(cell[4], within(1e-9));
      assertThat(risk.outOfAccepted() * 100).as(row).isCloseTo(cell[5], within(5e-9));
      assertThat(risk.producer() * 100).as(row).isCloseTo(cell[6], within(1e-9));
    }
  }

  /**
   * The resistor of JCGM 106:2012 9.5.5, inputs from memory: 1500 ohm, u0 0.12, u 0.04, limits
   * 1499.8 and 1500.2; figures recomputed independently.
   */
  @Test
  void theResistorsOfTheGuide() {
    GlobalRisk simple = GlobalRisk.of(0, 0.12, 0.04, -0.2, 0.2, -0.2, 0.2);
    assertThat(simple.outOfLimit()).isCloseTo(0.0955807045456294, within(1e-12));
    assertThat(simple.consumer()).isCloseTo(0.01894220671689029, within(1e-11));
    assertThat(simple.producer()).isCloseTo(0.037207800177953596, within(1e-11));
    GlobalRisk guarded = GlobalRisk.of(0, 0.12, 0.04, -0.2, 0.2, -0.18, 0.18);
    assertThat(guarded.consumer()).isCloseTo(0.009878291521691111, within(1e-11));
    assertThat(guarded.producer()).isCloseTo(0.0690265104613329, within(1e-11));
    double half = 0.18033405830074248;
    assertThat(GlobalRisk.of(0, 0.12, 0.04, -0.2, 0.2, -half, half).consumer())
        .isCloseTo(0.01, within(1e-11));
  }

  /**
   * The managed guard band A = T - M U, M = 1.04 - exp(0.38 ln(TUR) - 0.54), keeps the consumer's
   * risk under 2 % whatever the process is (Dobbert; as the formula stands in public test data).
   */
  @Test
  void theManagedGuardBandKeepsItsTwoPerCent() {
    double[] ratios = {1, 1.5, 2, 3, 4, 4.6};
    double[] multiples = {
      0.4572517476260104,
      0.3601773059929354,
      0.28164530800008813,
      0.15531827400931264,
      0.05312129802973864,
      -0.0007081504471819766
    };
    for (int i = 0; i < ratios.length; i++) {
      double m = 1.04 - Math.exp(0.38 * Math.log(ratios[i]) - 0.54);
      assertThat(m).isCloseTo(multiples[i], within(1e-12));
      double expanded = 1 / ratios[i];
      double limit = 1 - m * expanded;
      double worst = 0;
      for (double sigma = 0.2; sigma < 2; sigma += 0.05) {
        double risk = GlobalRisk.of(0, sigma, expanded / 2, -1, 1, -limit, limit).consumer();
        worst = Math.max(worst, risk);
      }
      assertThat(worst).as("TUR %s", ratios[i]).isBetween(0.01, 0.0201);
    }
  }

  /** Against seeded draws: off centre, one limit, a guard band. */
  @Test
  void theRisksAreThoseOfDraws() {
    long seed = 20_261_126;
    Random random = new Random(seed);
    int draws = 400_000;
    int consumer = 0;
    int producer = 0;
    for (int i = 0; i < draws; i++) {
      double size = 10 + 3 * random.nextGaussian();
      boolean accepted = size + 1.5 * random.nextGaussian() <= 13;
      consumer += size > 14 && accepted ? 1 : 0;
      producer += size <= 14 && !accepted ? 1 : 0;
    }
    GlobalRisk risk = GlobalRisk.of(10, 3, 1.5, NONE, 14, NONE, 13);
    double sigmas = 4 * Math.sqrt(0.1 / draws);
    assertThat(risk.consumer())
        .as("seed %s", seed)
        .isCloseTo((double) consumer / draws, within(sigmas));
    assertThat(risk.producer())
        .as("seed %s", seed)
        .isCloseTo((double) producer / draws, within(sigmas));
  }

  @Test
  void anAccurateMeasurementOfAWideProcessKeepsItsDigits() {
    // u -> 0: the risk of each edge is u phi(edge) / sqrt(2 pi), from either side.
    double u = 1e-4;
    GlobalRisk risk = GlobalRisk.of(0, 1, u, -1, 1, -1, 1);
    double each = u * Math.exp(-0.5) / (2 * Math.PI);
    assertThat(risk.consumer()).isCloseTo(2 * each, within(1e-8));
    assertThat(risk.producer()).isCloseTo(2 * each, within(1e-8));
  }

  @Test
  void whereNothingIsAcceptedEveryGoodOneIsLost() {
    GlobalRisk risk = GlobalRisk.of(0, 1, 0.1, -1, 1, 1, 0);
    assertThat(risk.consumer()).isZero();
    assertThat(risk.accepted()).isZero();
    assertThat(risk.producer()).isCloseTo(0.6826894921, within(1e-9));
    assertThat(risk.outOfAccepted()).isNaN();
  }
}
