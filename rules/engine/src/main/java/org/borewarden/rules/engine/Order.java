package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;

/** What a command asks for. */
public sealed interface Order {

  /** An order about one cell. */
  sealed interface OfCell extends Order {
    /**
     * The cell that is meant.
     *
     * @return its id
     */
    String cell();
  }

  /**
   * Release a hold. Gives the permit back; never starts motion.
   *
   * @param cell the cell
   * @param hold the hold's number
   * @param revision the revision that the person saw
   * @param reason a reason code from the rules' list
   * @param needed whether the hold was needed: yes, no or unknown
   * @param evidence the seqs that show that the cause is gone; empty for a release without evidence
   * @param contain what became of the contain list: measured, quarantined or scrapped
   * @param trialParts the parts of a trial permit in which evidence is made, where asked for
   */
  record Release(
      String cell,
      int hold,
      int revision,
      String reason,
      String needed,
      List<Long> evidence,
      Optional<String> contain,
      OptionalInt trialParts)
      implements OfCell {}

  /**
   * Run in spite of named causes, for a time.
   *
   * @param cell the cell
   * @param hold the hold's number
   * @param revision the revision that the person saw
   * @param causes the keys of the causes that are excepted
   * @param minutes how long, 1 to 60
   * @param reason a reason code from the rules' list
   */
  record Bypass(
      String cell, int hold, int revision, List<String> causes, int minutes, String reason)
      implements OfCell {}

  /**
   * End a bypass before its time.
   *
   * @param cell the cell
   */
  record EndBypass(String cell) implements OfCell {}

  /**
   * The cell has heard a hold.
   *
   * @param cell the cell
   * @param hold the hold's number
   * @param kind the kind that it heard
   */
  record Heard(String cell, int hold, StopKind kind) implements OfCell {}

  /**
   * The cell has stopped for lack of permit.
   *
   * @param cell the cell
   */
  record Stopped(String cell) implements OfCell {}

  /**
   * What part stands in front of the gauges of a cell.
   *
   * @param cell the cell
   * @param context what is known of it
   */
  record Context(String cell, PartContext context) implements OfCell {}

  /**
   * A tool or its edge was changed: a new segment begins for the features that it cuts.
   *
   * @param cell the cell
   * @param tool the tool, where named; else every tool of the cell
   */
  record ToolChanged(String cell, Optional<String> tool) implements OfCell {}

  /**
   * A tool offset was entered at the machine: a new level, the same slope.
   *
   * @param cell the cell
   * @param tool the tool, where named
   * @param diameter the change on diameter, positive for larger bores
   */
  record OffsetEntered(String cell, Optional<String> tool, Length diameter) implements OfCell {}

  /**
   * Temperatures at a gauge, degrees Celsius. The ring's is said at mastering, with the body's of
   * that moment, and stands until the gauge is mastered anew.
   *
   * @param gauge the gauge
   * @param part the workpieces that it measures
   * @param ring the ring, at mastering
   * @param body the gauge's body
   */
  record Temperature(String gauge, OptionalDouble part, OptionalDouble ring, OptionalDouble body)
      implements Order {}

  /**
   * Take back a bore: kept, marked and excluded from streams. Never clears a latch.
   *
   * @param feature the feature
   * @param seq the seq of its verdict; absent for the last one
   * @param reason why
   */
  record Discard(String feature, Optional<Long> seq, String reason) implements Order {}

  /**
   * Measure a place of the bore under way again; the reading before it is kept and counts no more.
   * Where no bore is under way, the last part is measured again.
   *
   * @param feature the feature
   * @param place the place, such as {@code entry/90}; absent for the last one
   */
  record MeasureAgain(String feature, Optional<String> place) implements Order {}

  /**
   * Go on to the next part: a bore under way is ended, and what it lacks is missing.
   *
   * @param feature the feature
   */
  record NextPart(String feature) implements Order {}

  /**
   * What a person found of a bore without a number: the gauge does not enter, or a plug tried it.
   *
   * @param feature the feature
   * @param found what was found
   * @param reason a code or word, such as the plug
   */
  record Attribute(String feature, Found found, String reason) implements Order {
    /** What can be found without a number. */
    public enum Found {
      /** Neither the gauge nor the go side of a plug enters: undersize. */
      DOES_NOT_ENTER,
      /** The go side enters and the no-go side does not: within. */
      GO,
      /** The no-go side enters: oversize. */
      NO_GO_ENTERS
    }
  }

  /**
   * Pass over a feature of the part in front of the gauge; a bore under way is ended.
   *
   * @param feature the feature
   * @param reason a code or word
   */
  record Skip(String feature, String reason) implements Order {}

  /**
   * The next bore of a feature is of a part that was cut again: a new bore of an old part.
   *
   * @param feature the feature
   * @param seq the seq of the verdict that the part had; it gives the part's number and serial
   * @param reason a code or word
   */
  record Rework(String feature, Optional<Long> seq, String reason) implements Order {}

  /**
   * The next bore of a feature is of a piece of known size.
   *
   * @param feature the feature
   * @param expected the verdict that it must get: undersize, within or oversize
   * @param reason a code or word, such as the piece's number
   */
  record Challenge(String feature, Verdict expected, String reason) implements Order {}

  /**
   * First-offs are asked for: another program, a changeover.
   *
   * @param cell the cell
   * @param reason a code or word
   */
  record FirstOff(String cell, String reason) implements OfCell {}

  /**
   * The wrong part was scanned: a bore that is already measured gets the serial of its part.
   *
   * @param feature the feature
   * @param seq the seq of its verdict; absent for the last one
   * @param serial the serial of its part
   * @param reason why
   */
  record CorrectSerial(String feature, Optional<Long> seq, String serial, String reason)
      implements Order {}

  /**
   * Other limits for named parts. The verdict by the rules stays; what the concession says stands
   * beside it.
   *
   * @param feature the feature
   * @param serials the parts
   * @param lower the lower limit; absent where the one of the rules stays
   * @param upper the upper limit; absent where the one of the rules stays
   * @param until the last day on which it counts, ISO 8601
   * @param authority who granted it, such as the number of a letter
   * @param reason why
   */
  record Concession(
      String feature,
      List<String> serials,
      Optional<Length> lower,
      Optional<Length> upper,
      String until,
      String authority,
      String reason)
      implements Order {
    /** Copies the list. */
    public Concession {
      serials = List.copyOf(serials);
    }

    /** Whether it names a part and a limit. */
    boolean grantsSomething() {
      return !serials.isEmpty() && (lower.isPresent() || upper.isPresent());
    }
  }

  /**
   * A concession counts no more from here on. Verdicts that it stood beside stay as they were
   * written.
   *
   * @param feature the feature
   * @param serial the part
   * @param reason why
   */
  record WithdrawConcession(String feature, String serial, String reason) implements Order {}

  /**
   * The batch that is cut is at its end: its last part must have been measured.
   *
   * @param cell the cell
   * @param reason a code or word
   */
  record CloseBatch(String cell, String reason) implements OfCell {}

  /**
   * Write down what is open, at the start of a shift or for who takes over.
   *
   * @param cell the cell
   * @param to who takes over
   */
  record HandOver(String cell, Optional<String> to) implements OfCell {}

  /** An order about one gauge. */
  sealed interface OfGauge extends Order {
    /**
     * The gauge that is meant.
     *
     * @return its id
     */
    String gauge();
  }

  /**
   * The next readings of the gauge are of a ring.
   *
   * @param gauge the gauge
   * @param ring the ring; absent for the one of the rules
   */
  record RingCheck(String gauge, Optional<String> ring) implements OfGauge {}

  /**
   * The gauge was set to a ring; its next readings show how it was left.
   *
   * @param gauge the gauge
   * @param ring the ring; absent for the one of the rules
   */
  record Mastered(String gauge, Optional<String> ring) implements OfGauge {}

  /**
   * Something happened to the gauge, so that its state is unknown.
   *
   * @param gauge the gauge
   * @param what such as dropped, battery or head
   */
  record GaugeDisturbed(String gauge, String what) implements OfGauge {}

  /**
   * Pass over the feature whose turn it is at a gauge that measures in sequence; a bore under way
   * is ended.
   *
   * @param gauge the gauge
   * @param reason a code or word
   */
  record StepForward(String gauge, String reason) implements OfGauge {}

  /**
   * Give the turn back to the feature before, whose bore of the same part is measured again; a bore
   * under way is ended.
   *
   * @param gauge the gauge
   * @param reason a code or word
   */
  record StepBack(String gauge, String reason) implements OfGauge {}

  /**
   * Ask a gauge that says nothing by itself for a reading.
   *
   * @param gauge the gauge
   */
  record Ask(String gauge) implements OfGauge {}

  /**
   * A person has seen an alert.
   *
   * @param alert the alert's key
   */
  record Acknowledge(String alert) implements Order {}

  /**
   * Set an alert aside until an end, with a reason. Never for a hold.
   *
   * @param alert the alert's key
   * @param minutes how long, 1 to 1440
   * @param reason why
   */
  record Shelve(String alert, int minutes, String reason) implements Order {}

  /**
   * Take an alert out of the shelf before its time.
   *
   * @param alert the alert's key
   */
  record Unshelve(String alert) implements Order {}

  /**
   * Take an alert out of service, because its gauge or its feature is. Never for a hold, and no
   * raise is kept back.
   *
   * @param alert the alert's key
   * @param reason why
   */
  record OutOfService(String alert, String reason) implements Order {}

  /**
   * Put an alert back in service.
   *
   * @param alert the alert's key
   */
  record BackInService(String alert) implements Order {}

  /**
   * Confirm, as the second of two persons, what the first one asked for.
   *
   * @param cell the cell
   * @param hold the hold's number
   * @param revision the revision that the second person saw
   * @param command the id of the first person's command
   */
  record Confirm(String cell, int hold, int revision, String command) implements OfCell {}

  /**
   * Walk every bit of the registers toward a cell that is in test mode. Never gives a permit.
   *
   * @param cell the cell
   */
  record CellTest(String cell) implements OfCell {}

  /**
   * Send entries to the broker again that it has acknowledged.
   *
   * @param from the first entry
   * @param to the last entry
   */
  record SendAgain(long from, long to) implements Order {}

  /**
   * A person has seen that the journal is a copy, or lies elsewhere than before, and takes it as
   * this agent's.
   *
   * @param reason a code or word
   */
  record AdoptJournal(String reason) implements Order {}

  /** Read the rules file again now. What comes of it follows as an event of its own. */
  record Reload() implements Order {}

  /**
   * Ask for a hold at the end of the part: before an upgrade, or to prove the hold path.
   *
   * @param cell the cell
   * @param reason why
   */
  record AskHold(String cell, String reason) implements OfCell {}
}
