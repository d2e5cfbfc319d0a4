package org.borewarden.agent.faults.sim;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import org.borewarden.agent.peers.Cases;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** Runs the simulated agent under many seeds; any of them replays alone by its number. */
class SimulationTest {
  private static final int LEAST_RUNS = 200;
  private static final int RUNS = Cases.count(LEAST_RUNS, 100_000);
  private static final int CONTROL_RUNS = 600;

  @Test
  void nothingThatChanceDoesBreaksAPromise() throws Exception {
    Optional<Long> only = Optional.ofNullable(Long.getLong("borewarden.seed"));
    long first = only.orElse(System.nanoTime());
    System.err.println("simulation: first seed " + first);
    Simulation.Tally tally = new Simulation.Tally();
    long begun = System.nanoTime();
    for (long seed = first; tally.runs < RUNS; seed++) {
      try {
        new Simulation(seed, Tamper.NONE, tally).run();
      } catch (Violation violation) {
        throw new AssertionError(
            "-Dborewarden.seed=" + seed + ": " + violation.getMessage(), violation);
      }
      if (only.isPresent() && !Cases.LONG) {
        break;
      }
    }
    System.err.printf(
        "simulation: %s; %.0f runs a minute%n",
        tally, tally.runs * 60e9 / (System.nanoTime() - begun));
    if (only.isEmpty()) {
      assertThat(tally.crashes).isGreaterThan(LEAST_RUNS);
      assertThat(tally.crashesAmidFaults).isPositive();
      assertThat(tally.failedSyncs).isPositive();
      assertThat(tally.repeats).isPositive();
      assertThat(tally.setAside).isPositive();
      assertThat(tally.pulledPlugs).isPositive();
      assertThat(tally.clockSteps).isPositive();
    }
  }

  @Test
  void theSameSeedGivesTheSameRun() throws Exception {
    for (long seed = 1; seed <= 10; seed++) {
      int once = new Simulation(seed, Tamper.NONE, new Simulation.Tally()).run();
      int again = new Simulation(seed, Tamper.NONE, new Simulation.Tally()).run();
      assertThat(again).as("seed %d", seed).isEqualTo(once);
    }
  }

  @ParameterizedTest
  @EnumSource(value = Tamper.class, mode = EnumSource.Mode.EXCLUDE, names = "NONE")
  void aTamperedAgentIsFoundOut(Tamper tamper) throws Exception {
    Simulation.Tally tally = new Simulation.Tally();
    Optional<String> found = Optional.empty();
    for (long seed = 1; seed <= CONTROL_RUNS && found.isEmpty(); seed++) {
      try {
        new Simulation(seed, tamper, tally).run();
      } catch (Violation violation) {
        found = Optional.of("seed " + seed + ": " + violation.getMessage());
      }
    }
    System.err.println(
        "control: "
            + tamper
            + ": "
            + found.map(f -> f.substring(0, Math.min(160, f.length()))).orElse("not found"));
    assertThat(found).as("%s after %d runs", tamper, CONTROL_RUNS).isPresent();
  }
}
