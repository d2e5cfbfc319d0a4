package org.borewarden.agent.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.peers.TestLinks;
import org.junit.jupiter.api.Test;

class BackoffTest {
  private static final LinkSettings USUAL =
      LinkSettings.of("record", TestLinks.broker(1, BrokerConfig.Version.V5), Optional.empty());

  @Test
  void theBoundDoublesUpToItsLongest() {
    Backoff backoff = new Backoff(USUAL, new Random(1));
    long bound = 250;
    for (int attempt = 0; attempt < 40; attempt++) {
      assertThat(backoff.next()).isLessThanOrEqualTo(Duration.ofMillis(bound));
      bound = Math.min(30_000, bound * 2);
    }
    assertThat(backoff.failures()).isEqualTo(40);
  }

  @Test
  void aConnectionThatHeldStartsTheWaitsAnewAndOneThatWasKickedDoesNot() {
    Backoff backoff = new Backoff(USUAL, new Random(2));
    for (int attempt = 0; attempt < 5; attempt++) {
      backoff.next();
    }
    backoff.lostAfter(Duration.ofSeconds(3));
    assertThat(backoff.failures()).isEqualTo(5);
    backoff.lostAfter(Duration.ofSeconds(30));
    assertThat(backoff.failures()).isZero();
  }

  @Test
  void anAgentWhoseIdIsTakenDoesNotComeBackAtOnce() {
    Backoff backoff = new Backoff(USUAL, new Random(3));
    backoff.takenOver();
    assertThat(backoff.failures()).isEqualTo(5);
  }

  @Test
  void aTakeoverIsNotForgottenWithAnotherCauseUntilAConnectionHeld() {
    Backoff backoff = new Backoff(USUAL, new Random(4));
    backoff.takenOver();
    backoff.next();
    backoff.forget();
    assertThat(backoff.failures()).isEqualTo(5);
    backoff.lostAfter(USUAL.stableAfter());
    backoff.next();
    backoff.forget();
    assertThat(backoff.failures()).isZero();
  }

  @Test
  void fiftyAgentsDoNotReturnTogether() {
    List<Long> arrivals = new ArrayList<>();
    for (int agent = 0; agent < 50; agent++) {
      Backoff backoff = new Backoff(USUAL, new Random(1000 + agent));
      Duration at = Duration.ZERO;
      // The broker is away for 30 s; each attempt fails at once.
      while (at.compareTo(Duration.ofSeconds(30)) < 0) {
        at = at.plus(backoff.next());
      }
      arrivals.add(at.toSeconds());
    }
    long fullest =
        arrivals.stream()
            .mapToLong(second -> arrivals.stream().filter(second::equals).count())
            .max()
            .orElse(0);
    assertThat(fullest).as("agents in one second, of 50").isLessThanOrEqualTo(10);
  }
}
