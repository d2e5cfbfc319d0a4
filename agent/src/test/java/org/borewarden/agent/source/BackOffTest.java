package org.borewarden.agent.source;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.HashSet;
import java.util.Set;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class BackOffTest {
  private static final Duration FIRST = Duration.ofSeconds(1);
  private static final Duration LONGEST = Duration.ofSeconds(10);

  @Test
  void theWaitDoublesToItsLongestAndIsShortenedByAtMostHalf() {
    for (long seed = 1; seed <= 200; seed++) {
      BackOff backOff = new BackOff(FIRST, LONGEST, new SplittableRandom(seed));
      for (long most : new long[] {1_000, 2_000, 4_000, 8_000, 10_000, 10_000}) {
        assertThat(backOff.next())
            .as("seed %d", seed)
            .isBetween(Duration.ofMillis(most / 2), Duration.ofMillis(most));
      }
    }
  }

  @Test
  void afterASteadyLinkTheWaitIsShortAgain() {
    BackOff backOff = new BackOff(FIRST, LONGEST, new SplittableRandom(1));
    for (int i = 0; i < 10; i++) {
      backOff.next();
    }
    backOff.reset();

    assertThat(backOff.next()).isLessThanOrEqualTo(FIRST);
  }

  @Test
  void portsDoNotKnockAllAtOnce() {
    Set<Duration> waits = new HashSet<>();
    for (long seed = 1; seed <= 50; seed++) {
      waits.add(new BackOff(FIRST, LONGEST, new SplittableRandom(seed)).next());
    }

    assertThat(waits.size()).isGreaterThan(40);
  }
}
