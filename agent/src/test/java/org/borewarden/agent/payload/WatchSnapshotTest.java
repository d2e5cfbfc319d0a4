package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.TreeMap;
import org.borewarden.rules.stat.Moments;
import org.borewarden.rules.stat.ValueCounts;
import org.borewarden.rules.watch.CapabilityWindow;
import org.borewarden.rules.watch.ChartMemory;
import org.borewarden.rules.watch.ChartState;
import org.borewarden.rules.watch.FormState;
import org.borewarden.rules.watch.PoolState;
import org.junit.jupiter.api.Test;

/** What charts and pools remember survives a snapshot to the last bit. */
class WatchSnapshotTest {
  private static final List<ChartMemory> MEMORIES =
      List.of(
          new ChartMemory.Window(5, 2, 9),
          new ChartMemory.Steps(1.1, -1, 4),
          new ChartMemory.Average(7, Math.PI),
          new ChartMemory.Sums(0.1 + 0.2, 1e-300),
          new ChartMemory.Differences(true, -1.0 / 3, 11.9),
          new ChartMemory.Group(3, 0.7, 1.9, -0.4, 1.3, -1),
          new ChartMemory.Recent(List.of(0.1, -2.5), List.of(41L, 42L)),
          new ChartMemory.Zones(2, true, -1, 2));

  private static ChartState with(ChartMemory memory) {
    return new ChartState(
        42,
        true,
        new ChartState.Learnt(30, 1.5e6, 29, 3.1e7),
        new Moments(3, 2.2, 0.9),
        40,
        -1e6,
        memory,
        1);
  }

  @Test
  void everyMemoryOfAChartIsReadBackAsItWas() throws Exception {
    for (ChartMemory memory : MEMORIES) {
      ChartState state = with(memory);
      assertThat(SnapshotCodec.read(SnapshotCodec.write(state), ChartState.class)).isEqualTo(state);
    }
    assertThat(MEMORIES.stream().map(Object::getClass).distinct())
        .as("each kind once")
        .containsExactlyInAnyOrder(ChartMemory.class.getPermittedSubclasses());
  }

  @Test
  void aWindowOfBoresAndCountedFormsAreReadBackAsTheyWere() throws Exception {
    CapabilityWindow window =
        new CapabilityWindow(List.of(40L, 41L), List.of(-3L, 7_000_001L), List.of(2, 3), 3);
    assertThat(SnapshotCodec.read(SnapshotCodec.write(window), CapabilityWindow.class))
        .isEqualTo(window);
    ValueCounts counts = ValueCounts.NONE.plus(500_000).plus(500_000).plus(-1_500_000);
    FormState forms = new FormState(2, counts, 1, true, ValueCounts.NONE, 0, 41);
    assertThat(SnapshotCodec.read(SnapshotCodec.write(forms), FormState.class)).isEqualTo(forms);
  }

  @Test
  void aPoolIsReadBackAsItWas() throws Exception {
    TreeMap<String, ChartState> before = new TreeMap<>();
    before.put("far", with(MEMORIES.get(0)));
    TreeMap<String, ChartState> now = new TreeMap<>();
    now.put("far", with(MEMORIES.get(3)));
    PoolState state = new PoolState(17, 2, 4.25, 11, 21, before, now);
    assertThat(SnapshotCodec.read(SnapshotCodec.write(state), PoolState.class)).isEqualTo(state);
  }
}
