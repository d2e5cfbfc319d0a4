package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import java.util.stream.LongStream;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldInput;
import org.borewarden.rules.hold.HoldState;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.reading.PartContext;

/**
 * What a cell's controller says: heard, stopped, restarted, parts finished.
 *
 * <p>Another tool number beside the part at the gauge begins no segment: it says which tool cut
 * this part, and tools may cut parts by turns. A change of insert or edge is asked for as such.
 */
final class Cells {
  /** A part counter that moves on by more than this has jumped or was set anew. */
  static final long MOST_PARTS_AT_ONCE = 1000;

  private static final Condition LINK = new Condition(Reason.LINK, Optional.empty());
  private static final int WIRE = 0x10000;
  static final long COUNTER = 1L << 32;

  private Cells() {}

  static void take(Work work, String cell, CellReport report) {
    if (!work.cells.containsKey(cell)) {
      return;
    }
    CellState state = work.cell(cell);
    Optional<CellReport> before = state.report();
    PartContext part = state.part();
    work.cells.put(cell, state.withReport(report));
    if (before.isPresent() && !before.get().startCount().equals(report.startCount())) {
      Holding.apply(work, cell, new HoldInput.CellRestarted());
    }
    CellTesting.heard(work, cell, report);
    Bores.partAtGauge(work, cell);
    Rounds.partAtGauge(work, cell, part);
    parts(work, cell, before, report);
    Shifts.partAtGauge(work, cell);
    heard(work, cell, report);
    Alerts.ownBypass(
        work, cell, report.ownBypass(), before.map(CellReport::ownBypass).orElse(false));
    if (stopped(report) && !before.map(Cells::stopped).orElse(false)) {
      Holding.apply(work, cell, new HoldInput.CellStopped());
    }
  }

  private static boolean stopped(CellReport report) {
    return report.stoppedAtPartEnd() || report.stoppedAtSafePoint();
  }

  /**
   * What a cell says stands until it says otherwise: a hold that could not be heard when its words
   * came, at a start or before the link was lost, is heard as soon as it can be.
   */
  static void stillHeard(Work work) {
    for (CellState state : List.copyOf(work.cells.values())) {
      boolean believed = state.hold().conditions().stream().noneMatch(LINK::equals);
      if (state.hold().phase() == Phase.REQUESTED && believed) {
        state.report().ifPresent(report -> heard(work, state.policy().cell(), report));
      }
    }
  }

  private static void heard(Work work, String cell, CellReport report) {
    HoldState hold = work.cell(cell).hold();
    boolean thisHold = hold.number() != 0 && hold.number() % WIRE == report.heardHold();
    if (thisHold && !hold.heard() && report.heardKind().isPresent()) {
      Holding.apply(work, cell, new HoldInput.CellAck(hold.number(), report.heardKind().get()));
    }
  }

  private static void parts(
      Work work, String cell, Optional<CellReport> before, CellReport report) {
    Optional<Long> was = before.flatMap(CellReport::partsFinished);
    Optional<Long> is = report.partsFinished();
    if (was.isEmpty()) {
      return;
    }
    long more = is.map(now -> Math.floorMod(now - was.get(), COUNTER)).orElse(COUNTER);
    if (more > MOST_PARTS_AT_ONCE && inTrial(work, cell)) {
      Holding.apply(work, cell, new HoldInput.TrialBad("the part counter jumped"));
    }
    if (more > MOST_PARTS_AT_ONCE) {
      containUnknown(work, cell, was.get(), is);
    }
    if (more == 0 || more > MOST_PARTS_AT_ONCE) {
      return;
    }
    CellState state = work.cell(cell);
    work.cells.put(
        cell,
        state.withPartsSinceJudged(
            (int) Math.min(State.UNKNOWN - 1L, state.partsSinceJudged() + more)));
    containWhatWasCut(work, cell, was.get(), more);
    Shifts.parts(work, cell, (int) more);
    for (long part = 0; part < more && inTrial(work, cell); part++) {
      Holding.apply(work, cell, new HoldInput.TrialPartFinished());
    }
  }

  /** How many parts were cut while the counter jumped nobody can say: all of them are held back. */
  private static void containUnknown(Work work, String cell, long was, Optional<Long> is) {
    HoldState hold = work.cell(cell).hold();
    if (hold.contain().isEmpty() || hold.stopped()) {
      return;
    }
    String to = is.map(now -> "jumped to " + now).orElse("went away");
    Holding.apply(
        work,
        cell,
        new HoldInput.ContainAdded(
            List.of("parts unknown: the counter stood at " + was + " and " + to)));
  }

  /** Parts that are finished between an out-of-limit bore and the stop are held back too. */
  private static void containWhatWasCut(Work work, String cell, long was, long more) {
    HoldState hold = work.cell(cell).hold();
    if (hold.contain().isEmpty() || hold.stopped()) {
      return;
    }
    List<String> parts =
        LongStream.rangeClosed(1, more)
            .mapToObj(part -> Long.toString((was + part) % COUNTER))
            .toList();
    Holding.apply(work, cell, new HoldInput.ContainAdded(parts));
  }

  private static boolean inTrial(Work work, String cell) {
    return work.cell(cell).hold().phase() == Phase.TRIAL;
  }
}
