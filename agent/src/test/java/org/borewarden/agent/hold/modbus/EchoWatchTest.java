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
    now += 1000 * MS;
    watch.echo(beat - 1, now);
    assertThat(watch.change(now)).isEmpty();
    now += MS;
    assertThat(watch.change(now)).contains(false);
    assertThat(watch.change(now)).isEmpty();
  }

  @Test
  void aLinkThatNeverCameIsToldLostOnce() {
    given();
    now += 1001 * MS;
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
    now += 1001 * MS;
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
    now += 1001 * MS;
    assertThat(watch.change(now)).isEqualTo(Optional.of(false));
  }

  private void given() {
    watch.given(now);
    beat = beat == 65_535 ? 1 : beat + 1;
    watch.shown(beat);
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
