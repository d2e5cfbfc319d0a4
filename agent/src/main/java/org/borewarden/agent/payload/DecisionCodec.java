package org.borewarden.agent.payload;

import org.borewarden.rules.engine.Decision;

/** Decisions to the journal. */
public final class DecisionCodec {
  private DecisionCodec() {}

  /**
   * Writes a decision.
   *
   * @param decision what was decided
   * @return its kind, topic and body
   */
  public static Coded encode(Decision decision) {
    if (decision instanceof Decision.BoreJudged judged) {
      return Coded.published(
          "bore-judged", "verdict/" + judged.feature().id(), VerdictPayload.of(judged));
    }
    if (decision instanceof Decision.BoreDiscarded discarded) {
      return Coded.published(
          "bore-discarded", "verdict/" + discarded.feature(), RevisedPayload.of(discarded));
    }
    if (decision instanceof Decision.SerialCorrected corrected) {
      return Coded.published(
          "serial-corrected", "verdict/" + corrected.feature(), RevisedPayload.of(corrected));
    }
    if (decision instanceof Decision.HandedOver over) {
      return Coded.kept("handed-over", over);
    }
    if (decision instanceof Decision.AttributeJudged judged) {
      return Coded.published(
          "attribute-judged", "verdict/" + judged.feature().id(), AttributePayload.of(judged));
    }
    if (decision instanceof Decision.FeatureSkipped skipped) {
      return Coded.kept("feature-skipped", skipped);
    }
    if (decision instanceof Decision.ReadingCorrected corrected) {
      return Coded.published(
          "reading-corrected", "reading/" + corrected.gauge(), CorrectedPayload.of(corrected));
    }
    if (decision instanceof Decision.AlertChanged changed) {
      return Coded.published(
          "alert-changed",
          "alert/" + AlertPayload.idOf(changed.alert().key()),
          AlertPayload.of(changed.alert()));
    }
    if (decision instanceof Decision.HoldChanged changed) {
      return Coded.kept("hold-changed", HoldPayload.of(changed.hold()));
    }
    if (decision instanceof Decision.CommandAnswered answered) {
      return Coded.kept("command-answered", answered);
    }
    if (decision instanceof Decision.Found found) {
      return Coded.kept("found", FindingPayload.of(found));
    }
    if (decision instanceof Decision.ReadingUnassigned unassigned) {
      return Coded.kept("reading-unassigned", unassigned);
    }
    if (decision instanceof Decision.RingChecked checked) {
      return Coded.kept("ring-checked", RingPayload.of(checked));
    }
    if (decision instanceof Decision.WindowSuspected suspected) {
      return Coded.published(
          "window-suspected", "recheck/" + suspected.gauge(), RecheckPayload.of(suspected));
    }
    if (decision instanceof Decision.WindowWithdrawn withdrawn) {
      return Coded.published(
          "window-withdrawn", "recheck/" + withdrawn.gauge(), RecheckPayload.of(withdrawn));
    }
    if (decision instanceof Decision.ReadingDisbelieved disbelieved) {
      return Coded.published(
          "reading-disbelieved",
          "rejected/" + disbelieved.gauge(),
          RejectedPayload.of(disbelieved));
    }
    if (decision instanceof Decision.ReadingSetAside aside) {
      return Coded.kept("reading-set-aside", aside);
    }
    if (decision instanceof Decision.HoldTestPassed passed) {
      return Coded.kept("hold-test-passed", passed);
    }
    if (decision instanceof Decision.CellTestEnded ended) {
      return Coded.kept("cell-test-ended", ended);
    }
    return Coded.kept("not-judged", decision);
  }
}
