package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class EchoWatchTest {
  private static final long MS = 1_000_000;

  private final EchoWatch watch = new EchoWatch(Duration.ofSeconds(1), 0);
  private long now;
  private int beat = 100;

  @Test
  void theLinkIsUpAfterThreeMovesAndNotBefore() {
    turn();
    turn();
    assertThat(watch.change(now)).isEmpty();
    turn();
    assertThat(watch.change(now)).contains(true);
    assertThat(watch.change(now)).isEmpty();
  }

  @Test
  void anEchoThatStandsForTheTimeIsALostLink() {
    up();
    given();
    int before = beat - 1;
    for (int i = 0; i < 4; i++) {
      now += 250 * MS;
      given();
      watch.echo(before, now);
      assertThat(watch.change(now)).isEmpty();
    }
    now += MS;
    assertThat(watch.change(now)).contains(false);
    assertThat(watch.change(now)).isEmpty();
  }

  @Test
  void aLinkThatNeverCameIsToldLostOnce() {
    given();
    standing();
    assertThat(watch.change(now)).contains(false);
    now += 5000 * MS;
    assertThat(watch.change(now)).isEmpty();
  }

  @Test
  void whileTheLoopGivesNoBeatTheLinkIsNotToBlame() {
    up();
    now += 60_000 * MS;
    assertThat(watch.change(now)).isEmpty();
  }

  @Test
  void aBeatThatWasNotEchoedBeforeTheLoopWasAwayIsNotHeldAgainstTheLink() {
    up();
    given();
    now += 5000 * MS;
    assertThat(watch.change(now)).isEmpty();
    given();
    assertThat(watch.change(now)).isEmpty();
    standing();
    assertThat(watch.change(now)).contains(false);
  }

  @Test
  void anEchoOfABeatThatIsNotOursDoesNotCount() {
    up();
    for (int i = 0; i < 10; i++) {
      given();
      now += 250 * MS;
      assertThat(watch.echo(beat + 30_000, now)).isFalse();
      watch.change(now);
    }
    assertThat(watch.up()).isFalse();
  }

  @Test
  void anEchoMayBeUpToEightBeatsBehind() {
    beat = 4;
    given();
    assertThat(watch.echo(65_532, now)).isTrue();
    assertThat(watch.echo(65_531, now)).isFalse();
  }

  @Test
  void afterALossThreeMovesAreNeededAgain() {
    up();
    given();
    standing();
    assertThat(watch.change(now)).contains(false);
    turn();
    turn();
    assertThat(watch.change(now)).isEmpty();
    turn();
    assertThat(watch.change(now)).contains(true);
  }

  @Test
  void aFrozenEchoOfAnEarlierRunDoesNotCount() {
    watch.shown(1);
    watch.given(now);
    assertThat(watch.echo(40_000, now)).isFalse();
    standing();
    assertThat(watch.change(now)).isEqualTo(Optional.of(false));
  }

  private void given() {
    watch.given(now);
    beat = beat == 65_535 ? 1 : beat + 1;
    watch.shown(beat);
  }

  /** Beats go on for a little more than a second. */
  private void standing() {
    for (int i = 0; i < 4; i++) {
      now += 251 * MS;
      given();
    }
  }

  private void turn() {
    given();
    now += 250 * MS;
    watch.echo(beat, now);
  }

  private void up() {
    turn();
    turn();
    turn();
    assertThat(watch.change(now)).contains(true);
  }
}
