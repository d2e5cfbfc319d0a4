package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/**
 * Walks every reachable state of a hold with its journal and checks I1 to I9 of docs/hold.md on
 * every edge; three tampered machines must be found out.
 *
 * <p>The walk visits 59,483 states over 1,951,115 edges. The run that docs/hold.md publishes, of an
 * earlier model, visited 27,564 over 731,722. The two differ because the abstractions do: here two
 * finding keys of either kind, the causes of the agent's own making as one, the conditions link,
 * journal and stall, and of the journal only what a stop can reveal of it, however many records
 * wait, and where the records of a grant and of a condition's end stand; and because here a grant
 * that is asked for anew, a cell's restart and an escalation are events too. Not in the walk, as
 * there: part counting, times, several cells, the cell's program.
 */
final class HoldWalkTest {
  private static final int NONE_IS_ENOUGH = 0;
  private static final int ENOUGH = 100;

  @Test
  void noInvariantIsBrokenInAnyReachableStateAndRunCanBeReachedFromAll() {
    HoldWalk walk = new HoldWalk(new Rig()).run(NONE_IS_ENOUGH);
    assertThat(walk.violations()).as("%s", walk.examples()).isEmpty();
    assertThat(walk.statesThatNeverRun()).isZero();
    // A change of these is a change of the machine or of the walk, and the text above is wrong.
    assertThat(walk.states()).isEqualTo(59_483);
    assertThat(walk.edges()).isEqualTo(1_951_115);
  }

  @Test
  void withoutTheRevisionCheckTheWalkFindsAPermitThatNobodyGave() {
    HoldWalk walk = new HoldWalk(new Rig.NoRevisionCheck()).run(ENOUGH);
    assertThat(walk.violations()).containsKey(Invariants.PERMIT_ROSE);
    assertThat(walk.examples().get(Invariants.PERMIT_ROSE))
        .contains("commit begins")
        .endsWith("commit ends");
  }

  @Test
  void withAGrantBeforeItsSyncTheWalkFindsAPermitThatNobodyGave() {
    HoldWalk walk = new HoldWalk(new Rig.GrantBeforeSync()).run(ENOUGH);
    assertThat(walk.violations()).containsKey(Invariants.PERMIT_ROSE);
  }

  @Test
  void withAnUncleanStartWithoutAPersonTheWalkFindsAPermitOverALostFinding() {
    HoldWalk walk = new HoldWalk(new Rig.UncleanWithoutAPerson()).run(NONE_IS_ENOUGH);
    assertThat(walk.violations()).containsOnlyKeys(Invariants.LOST_FINDING);
    assertThat(walk.examples().get(Invariants.LOST_FINDING)).contains("finding", "power cut");
  }
}
