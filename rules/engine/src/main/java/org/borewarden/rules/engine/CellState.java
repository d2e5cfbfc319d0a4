package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.reading.PartContext;

/**
 * What is remembered of a cell.
 *
 * @param policy what the config says of it
 * @param hold its hold
 * @param report what its controller last said
 * @param context the part in front of its gauges, as a command last said
 * @param partsSinceJudged finished parts since the last judged bore
 * @param evidence the seqs since the hold was raised that may show that its cause is gone: tool
 *     changes, offsets, bores within
 * @param test the proof of its hold path
 * @param asked what one person asked for and a second one must confirm
 * @param said what the last release that was taken said of the hold
 * @param cellTest the walk over its registers, while one runs
 * @param trialParts which parts of a trial gave a bore
 */
record CellState(
    CellPolicy policy,
    HoldState hold,
    Optional<CellReport> report,
    PartContext context,
    int partsSinceJudged,
    List<Long> evidence,
    HoldTest test,
    Optional<SecondPerson.Asked> asked,
    Optional<ReleaseSaid> said,
    Optional<CellTesting.Running> cellTest,
    TrialParts trialParts) {
  /** The evidence that is kept; the oldest goes when one more comes. */
  static final int EVIDENCE_LIMIT = 100;

  CellState {
    evidence = List.copyOf(evidence);
  }

  /** A cell that the config names for the first time. */
  static CellState fresh(CellPolicy policy, HoldState hold) {
    return new CellState(
        policy,
        hold,
        Optional.empty(),
        PartContext.NONE,
        0,
        List.of(),
        HoldTest.NEVER,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        TrialParts.NONE);
  }

  CellState withHold(HoldState next) {
    return new CellState(
        policy,
        next,
        report,
        context,
        partsSinceJudged,
        evidence,
        test,
        asked,
        said,
        cellTest,
        trialParts);
  }

  /** A new start: the cell must say anew what it heard; its counters go on. */
  CellState started(CellPolicy next) {
    return new CellState(
        next,
        hold,
        report.map(CellReport::nothingHeard),
        context,
        partsSinceJudged,
        evidence,
        test,
        asked,
        said,
        Optional.empty(),
        TrialParts.NONE);
  }

  CellState withReport(CellReport next) {
    return new CellState(
        policy,
        hold,
        Optional.of(next),
        context,
        partsSinceJudged,
        evidence,
        test,
        asked,
        said,
        cellTest,
        trialParts);
  }

  CellState withContext(PartContext next) {
    return new CellState(
        policy,
        hold,
        report,
        next,
        partsSinceJudged,
        evidence,
        test,
        asked,
        said,
        cellTest,
        trialParts);
  }

  CellState withPartsSinceJudged(int parts) {
    return new CellState(
        policy, hold, report, context, parts, evidence, test, asked, said, cellTest, trialParts);
  }

  CellState withEvidence(List<Long> seqs) {
    List<Long> kept =
        seqs.size() > EVIDENCE_LIMIT
            ? seqs.subList(seqs.size() - EVIDENCE_LIMIT, seqs.size())
            : seqs;
    return new CellState(
        policy,
        hold,
        report,
        context,
        partsSinceJudged,
        kept,
        test,
        asked,
        said,
        cellTest,
        trialParts);
  }

  CellState withTest(HoldTest next) {
    return new CellState(
        policy,
        hold,
        report,
        context,
        partsSinceJudged,
        evidence,
        next,
        asked,
        said,
        cellTest,
        trialParts);
  }

  CellState withAsked(Optional<SecondPerson.Asked> next) {
    return new CellState(
        policy,
        hold,
        report,
        context,
        partsSinceJudged,
        evidence,
        test,
        next,
        said,
        cellTest,
        trialParts);
  }

  CellState withSaid(Optional<ReleaseSaid> next) {
    return new CellState(
        policy,
        hold,
        report,
        context,
        partsSinceJudged,
        evidence,
        test,
        asked,
        next,
        cellTest,
        trialParts);
  }

  CellState withCellTest(Optional<CellTesting.Running> next) {
    return new CellState(
        policy,
        hold,
        report,
        context,
        partsSinceJudged,
        evidence,
        test,
        asked,
        said,
        next,
        trialParts);
  }

  CellState withTrialParts(TrialParts next) {
    return new CellState(
        policy,
        hold,
        report,
        context,
        partsSinceJudged,
        evidence,
        test,
        asked,
        said,
        cellTest,
        next);
  }

  /**
   * The part in front of the gauges: the controller's word over a command's. A part that the
   * controller names has the feature that it names, or none; without one, its word for the feature
   * alone goes over a command's.
   */
  PartContext part() {
    PartContext said = report.map(CellReport::context).orElse(PartContext.NONE);
    boolean named = !said.atFeature(Optional.empty()).equals(PartContext.NONE);
    return named ? said : context.atFeature(said.feature().or(context::feature));
  }
}
