package org.borewarden.rules.judge;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Prior;
import org.borewarden.rules.stat.GlobalRisk;
import org.borewarden.rules.uncertainty.Budget;
import org.borewarden.rules.uncertainty.Component;
import org.borewarden.rules.uncertainty.Coverage;
import org.borewarden.rules.uncertainty.Expansion;
import org.borewarden.rules.uncertainty.Shape;
import org.borewarden.rules.uncertainty.Temperatures;
import org.borewarden.rules.uncertainty.Uncertainty;
import org.junit.jupiter.api.Test;

/** Every worked example of docs/mathematics.md, computed anew. */
class MathematicsPageTest {
  @Test
  void everyWorkedExampleIsWhatTheCodeComputes() throws IOException {
    List<String> boxes =
        Files.readString(Path.of("../../docs/mathematics.md"))
            .lines()
            .filter(line -> line.startsWith("    "))
            .map(String::strip)
            .toList();
    assertThat(boxes)
        .containsExactly(
            guard(),
            verdicts(),
            numericalGuard(),
            refused(),
            budget(),
            aluminium(),
            correction(),
            past(),
            resistors(),
            ratio());
  }

  private static String guard() {
    return shown(
        "48.000 mm +25/0 um, u 1.5 um, proven at 95 %%: g = %.4f um",
        um(seat().guardBands().get(0)));
  }

  private static String verdicts() {
    return verdict("48.002 mm") + "; " + verdict("48.003 mm") + "; " + verdict("48.028 mm");
  }

  private static String verdict(String size) {
    Judgement judged = Judge.judge(seat(), Lengths.of(size));
    return shown(
        "%s: P = %.4f, %s", size, judged.conformity().orElseThrow(), judged.verdict().key());
  }

  private static String numericalGuard() {
    Acceptance four = acceptance("6.000 mm", "6.004 mm", "1 um");
    return shown("T/u = 4: g = %.2f u", um(four.guardBands().get(0)));
  }

  private static String refused() {
    Readiness.Refusal refusal =
        Readiness.check(acceptance("6.000 mm", "6.005 mm", "1.4 um")).orElseThrow();
    return shown(
        "6.000 mm +5/0 um, u 1.4 um: T/u = %.3f, best P = %.4f",
        refusal.toleranceOverUncertainty(), refusal.bestProbability());
  }

  private static String budget() {
    Budget budget =
        new Budget(
            List.of(
                Component.certificate("ring", Lengths.of("0.8 um"), 2),
                Component.repeatability("repeatability", Lengths.of("0.6 um"), 10, 1),
                Component.resolution("resolution", Lengths.of("1 um")),
                Component.within("ring check", Shape.RECTANGULAR, Lengths.of("1.5 um"))));
    Uncertainty stated = Uncertainty.of(budget, new Coverage.Probability(0.95));
    return shown(
        "ring U 0.8 um (k 2), s 0.6 um of 10 readings, r 1 um, check within 1.5 um: u = %.3f um,"
            + " %.0f degrees of freedom, U = %.3f um at 95 %%",
        um(stated.standard()), Math.floor(budget.freedom()), um(stated.expanded()));
  }

  private static String aluminium() {
    return shown(
        "62 mm, aluminium 23.6 ppm/K at 31 degC, steel ring at 22 degC: %.2f um",
        um(expansion().correction(Lengths.of("62 mm"), warm())));
  }

  private static String correction() {
    Expansion expansion = expansion();
    double u =
        expansion.corrected(Lengths.of("62 mm"), warm(), expansion.correction().orElseThrow());
    return shown(
        "thermometer within 0.5 K, difference within 0.2 K, coefficients within 1 ppm/K: u of the"
            + " correction %.2f um",
        u / 1e6);
  }

  private static String past() {
    Limits limits = limits("62.000 mm", "62.030 mm");
    Length value = Lengths.of("62.032 mm");
    Length u = Lengths.of("1.5 um");
    Prior prior = new Prior(Lengths.of("62.015 mm"), Lengths.of("2 um"));
    return shown(
        "62.032 mm against 62.030 mm, u 1.5 um: P = %.4f; with a prior of 62.015 mm, 2 um: %.4f",
        Conformity.probability(limits, value.picometres(), (double) u.picometres()),
        Conformity.withPrior(limits, value, u, prior));
  }

  private static String resistors() {
    GlobalRisk risk = GlobalRisk.of(0, 0.12, 0.04, -0.2, 0.2, -0.2, 0.2);
    return shown(
        "1500 ohm, process 0.12, u 0.04, limits 0.2 either way: consumer's risk %.2f %%,"
            + " producer's %.2f %%",
        risk.consumer() * 100, risk.producer() * 100);
  }

  private static String ratio() {
    Length tolerance = Lengths.of("30 um");
    return shown("62 H7, U 3 um: T/(2U) = %.2f", um(tolerance) / (2 * um(Lengths.of("3 um"))));
  }

  private static Temperatures warm() {
    return new Temperatures(31, 22, OptionalDouble.of(0));
  }

  private static Expansion expansion() {
    return new Expansion(
        23.6e-6,
        11.5e-6,
        0,
        1e-6,
        18,
        32,
        0,
        Optional.of(new Expansion.Correction(0.5, 0.2, Duration.ofMinutes(10))));
  }

  private static Acceptance seat() {
    return acceptance("48.000 mm", "48.025 mm", "1.5 um");
  }

  private static Acceptance acceptance(String lower, String upper, String u) {
    return Acceptance.of(limits(lower, upper), new DecisionRule.Proven(0.95, Lengths.of(u)));
  }

  private static Limits limits(String lower, String upper) {
    return new Limits(Optional.of(Lengths.of(lower)), Optional.of(Lengths.of(upper)));
  }

  private static double um(Length length) {
    return length.picometres() / 1e6;
  }

  private static String shown(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}
