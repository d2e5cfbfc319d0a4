package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class FollowTest {
  /**
   * Every place is judged; the chart follows the smallest, which wear brings to its limit first.
   */
  @Test
  void theChartOfABoreOfSeveralPlacesFollowsTheSmallest() {
    Shop shop = new Shop();
    List.of("started clean", "rules r1 bush,plan=1x2", "port port-b open", "synced")
        .forEach(shop::take);
    shop.take("bore-2 40.020 40.004");
    FeatureState state = Optional.ofNullable(shop.state().features().get("bush")).orElseThrow();
    assertThat(state.lastDeviation().orElseThrow()).isEqualTo(4e-6);
  }

  @Test
  void aWithheldBoreMovesNoChartAndCountsForNothing() {
    Shop shop = new Shop();
    List.of("started clean", "rules r1 bush,plan=1x2", "port port-b open", "synced")
        .forEach(shop::take);
    shop.take("bore-2 40.020 40.004");
    shop.take("bore-2 40.010");
    shop.take("next-part n1 bush");
    FeatureState state = Optional.ofNullable(shop.state().features().get("bush")).orElseThrow();
    assertThat(state.bores()).isEqualTo(1);
    assertThat(state.lastPart()).isEqualTo(2);
    assertThat(state.lastDeviation().orElseThrow()).isEqualTo(4e-6);
  }
}
