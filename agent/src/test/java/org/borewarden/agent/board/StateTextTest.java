package org.borewarden.agent.board;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class StateTextTest {
  private static final String RELEASED = "{\"cell\":\"cell-4\",\"by\":\"k-berg\",\"hold\":3}";

  @Test
  void whoReleasedOrAcknowledgedIsToldToThoseWhoSignedIn() {
    assertThat(new StateText("cell-4", true).mayBeShown(RELEASED)).isEqualTo(RELEASED);
  }

  @Test
  void othersAreNotToldWhoItWas() {
    assertThat(new StateText("cell-4", false).mayBeShown(RELEASED))
        .doesNotContain("k-berg")
        .contains("\"cell\":\"cell-4\"", "\"hold\":3");
  }

  @Test
  void theAgentIsNobodyInPerson() {
    String own = RELEASED.replace("k-berg", "agent");
    assertThat(new StateText("cell-4", false).mayBeShown(own)).isEqualTo(own);
  }
}
