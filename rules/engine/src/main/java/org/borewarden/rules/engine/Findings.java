package org.borewarden.rules.engine;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Containment;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.watch.Finding;

/** What a finding does: a note, an alert, or an alert and a hold; or what it would have done. */
final class Findings {
  private Findings() {}

  /** Returns whether one of them raised a hold. */
  static boolean take(Work work, Feature feature, List<Finding> findings, List<String> cleared) {
    cleared.forEach(key -> Alerts.returned(work, key));
    boolean held = false;
    for (Finding finding : findings) {
      held |= take(work, feature, finding);
    }
    return held;
  }

  /** An out-of-limit bore: every part since the last within bore, and those already cut. */
  private static void contain(Work work, Feature feature, Finding finding) {
    if (finding.reason() != Reason.UNDERSIZE && finding.reason() != Reason.OVERSIZE) {
      return;
    }
    FeatureState state = work.feature(feature.id());
    String cell = feature.cell().orElseThrow();
    int onTheWay = work.cell(cell).report().map(CellReport::partsToGauge).orElse(0);
    Containment parts = Containment.of(state.lastWithinPart(), state.lastPart(), onTheWay);
    Holding.apply(work, cell, new HoldInput.ContainAdded(parts.words(Map.of())));
  }

  private static boolean take(Work work, Feature feature, Finding finding) {
    Action action = finding.action();
    Optional<CellState> cell = feature.cell().map(work.cells::get);
    boolean asksForHold = action.level() == Action.Level.HOLD && cell.isPresent();
    boolean watchOnly =
        work.before(action.watchOnlyUntil())
            || cell.map(c -> work.before(c.policy().watchOnlyUntil())).orElse(false);
    boolean holds = asksForHold && !watchOnly;
    work.decide(new Decision.Found(finding, asksForHold && watchOnly));
    if (action.level() != Action.Level.NOTE) {
      Alerts.raised(work, feature, finding, holds, asksForHold && watchOnly);
    }
    if (holds) {
      Holding.finding(
          work,
          cell.orElseThrow().policy().cell(),
          new Cause(
              finding.key(),
              finding.reason(),
              Optional.of(feature.id()),
              action.kind(),
              work.seq(),
              1));
      contain(work, feature, finding);
    }
    return holds;
  }
}
