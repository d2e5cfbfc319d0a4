package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class DiscardTest {
  @Test
  void aBoreThatIsTakenBackLeavesTheWatchesExactlyAsTheyWereBeforeIt() {
    Shop shop = new Shop();
    List.of("started clean", "rules r1 seat,wear,run=9", "port port-a open", "synced")
        .forEach(shop::take);
    for (int bore = 1; bore <= 30; bore++) {
      String size = String.format(Locale.ROOT, "62.0%02d", 31 - bore);
      FeatureState before = seat(shop);
      shop.take("bore-1 " + size);
      assertThat(seat(shop).watches()).isNotEqualTo(before.watches());

      shop.take("discard c" + bore + " seat");
      assertThat(seat(shop)).isEqualTo(before.withoutLast());

      // And the bore that is measured again is taken as if the first had never been.
      shop.take("bore-1 " + size);
      assertThat(seat(shop).bores()).isEqualTo(bore);
    }
    assertThat(shop.permitted()).as("the wear holds in spite of every discard").isFalse();
  }

  private static FeatureState seat(Shop shop) {
    return Optional.ofNullable(shop.state().features().get("seat")).orElseThrow();
  }
}
