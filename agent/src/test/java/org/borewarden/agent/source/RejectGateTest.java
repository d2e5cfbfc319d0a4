package org.borewarden.agent.source;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import java.util.Random;
import org.junit.jupiter.api.Test;

class RejectGateTest {
  private static final long SECOND = Duration.ofSeconds(1).toNanos();

  @Test
  void noWindowEverHoldsMoreThanTheLimitAndNoneIsForgotten() {
    for (long seed = 1; seed <= 200; seed++) {
      Random random = new Random(seed);
      RejectGate gate = new RejectGate(10, Duration.ofSeconds(1));
      List<Long> passed = new ArrayList<>();
      long heldBack = 0;
      long told = 0;
      long now = random.nextLong();
      for (int i = 0; i < 2_000; i++) {
        now += random.nextInt(100) == 0 ? SECOND : random.nextInt(20_000_000);
        OptionalLong before = gate.pass(now);
        if (before.isPresent()) {
          passed.add(now);
          told += before.getAsLong();
        } else {
          heldBack++;
        }
      }
      assertWindows(passed, seed);
      assertThat(gate.pass(now + SECOND)).as("seed %d", seed).hasValue(heldBack - told);
    }
  }

  private static void assertWindows(List<Long> passed, long seed) {
    assertThat(passed.size()).as("seed %d", seed).isGreaterThan(50);
    for (int i = 10; i < passed.size(); i++) {
      assertThat(passed.get(i) - passed.get(i - 10))
          .as("seed %d", seed)
          .isGreaterThanOrEqualTo(SECOND);
    }
  }
}
