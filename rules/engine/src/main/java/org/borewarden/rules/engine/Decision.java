package org.borewarden.rules.engine;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.gauge.Attribution;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.hold.AlertView;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;
import org.borewarden.rules.uncertainty.Temperatures;
import org.borewarden.rules.watch.Finding;

/**
 * What follows from an event and is recorded beside it: the decisions of an event take the seqs
 * right behind the event's own, in order.
 */
public sealed interface Decision {

  /**
   * A bore was judged.
   *
   * @param feature the feature, as the rules in force name it
   * @param bore the bore
   * @param judgement the verdict and how sure it is
   * @param beside what is said beside it
   */
  record BoreJudged(Feature feature, Bore bore, Judgement judgement, Beside beside)
      implements Decision {
    /**
     * A bore of the next part of the run.
     *
     * @param feature the feature
     * @param bore the bore
     * @param judgement the verdict and how sure it is
     */
    public BoreJudged(Feature feature, Bore bore, Judgement judgement) {
      this(feature, bore, judgement, Beside.NONE);
    }
  }

  /**
   * A bore was taken back: its verdict stays as it was written, and counts no more.
   *
   * @param feature the feature
   * @param seq the seq of its verdict
   * @param reason why
   * @param by who
   */
  record BoreDiscarded(String feature, long seq, String reason, String by) implements Decision {}

  /**
   * A bore that was already measured got another serial, because the wrong part was scanned. Its
   * verdict stays as it was written.
   *
   * @param feature the feature
   * @param seq the seq of its verdict
   * @param was the serial that it had
   * @param serial the serial of its part
   * @param reason why
   * @param by who
   */
  record SerialCorrected(
      String feature, long seq, Optional<String> was, String serial, String reason, String by)
      implements Decision {}

  /**
   * A shift was handed over, or begun.
   *
   * @param cell the cell
   * @param by who gave the list
   * @param to who takes it, where somebody does
   * @param items what is open
   */
  record HandedOver(String cell, String by, Optional<String> to, List<OpenItem> items)
      implements Decision {
    /** Copies the list. */
    public HandedOver {
      items = List.copyOf(items);
    }
  }

  /**
   * Something that is open.
   *
   * @param what its kind, such as {@code hold}, {@code first-off} or {@code suspect-window}
   * @param subject of what: a hold's number, a feature, a gauge, an alert
   * @param words in English
   */
  record OpenItem(String what, String subject, String words) {}

  /**
   * A bore got a verdict without a number. It is in no stream and in no capability.
   *
   * @param feature the feature, as the rules in force name it
   * @param part the part's number
   * @param verdict undersize, within or oversize
   * @param found what a person found
   * @param reason what he said
   * @param by who
   * @param context what was said of the part
   */
  record AttributeJudged(
      Feature feature,
      long part,
      Verdict verdict,
      Order.Attribute.Found found,
      String reason,
      String by,
      PartContext context)
      implements Decision {}

  /**
   * A person passed over a feature of a part.
   *
   * @param feature the feature
   * @param part the part's number
   * @param reason why
   * @param by who
   */
  record FeatureSkipped(String feature, long part, String reason, String by) implements Decision {}

  /**
   * A reading was corrected to 20 degrees Celsius; what is judged is the corrected value. The
   * reading's own record keeps what the gauge said.
   *
   * @param gauge the gauge
   * @param seq the seq of the reading
   * @param raw what the gauge said
   * @param corrected what is judged
   * @param correction what was added
   * @param at the temperatures it comes from
   * @param uncertainty the standard uncertainty of the correction
   */
  record ReadingCorrected(
      String gauge,
      long seq,
      Reading raw,
      Length corrected,
      Length correction,
      Temperatures at,
      Length uncertainty)
      implements Decision {}

  /**
   * A reading came for which the rules name no feature; it is kept and shown as such.
   *
   * @param gauge the gauge
   */
  record ReadingUnassigned(String gauge) implements Decision {}

  /**
   * A reading came that no place of a plan asks for; it is kept and counts nowhere.
   *
   * @param feature the feature
   * @param why {@code beyond-the-plan} or {@code no-such-place}
   */
  record ReadingSetAside(String feature, String why) implements Decision {}

  /**
   * A reading came that is not believed; it is kept and counts nowhere.
   *
   * @param gauge the gauge
   * @param seq the seq of the reading
   * @param reading the reading
   * @param why a key: {@code bounce}, {@code other-unit}, {@code outside-head-range}, {@code
   *     implausible} or {@code digits-changed}
   * @param detail what was expected and found
   */
  record ReadingDisbelieved(String gauge, long seq, Reading reading, String why, String detail)
      implements Decision {}

  /**
   * A gauge was checked on a ring.
   *
   * @param gauge the gauge
   * @param check the check and whether it passed
   * @param asLeft whether it shows how the gauge was left after it was set; else as it was found
   */
  record RingChecked(String gauge, RingCheck check, boolean asLeft) implements Decision {}

  /**
   * Bores may have another verdict than they got, because their gauge was found to be wrong.
   *
   * @param gauge the gauge
   * @param window which bores to measure again
   * @param attribution whether the bores' own shift is the gauge's or the process's; empty where
   *     too little is known for the question
   */
  record WindowSuspected(String gauge, SuspectWindow window, Optional<Attribution> attribution)
      implements Decision {}

  /**
   * The checks that followed a failed one were good: its window stands no more. Both stay written.
   *
   * @param gauge the gauge
   * @param window the seq of the window
   */
  record WindowWithdrawn(String gauge, long window) implements Decision {}

  /**
   * A watch or a verdict found something.
   *
   * @param finding what
   * @param wouldHaveHeld true where it asks for a hold and is watch-only
   */
  record Found(Finding finding, boolean wouldHaveHeld) implements Decision {}

  /**
   * An alert changed its state or count.
   *
   * @param alert what people see of it now
   */
  record AlertChanged(AlertView alert) implements Decision {}

  /**
   * A cell's hold changed.
   *
   * @param hold what people and the cell see of it now
   * @param grantPending the revision for which a grant waits until this record is synced
   */
  record HoldChanged(HoldView hold, Optional<Integer> grantPending) implements Decision {}

  /**
   * A command was answered. The answer goes out when this record is synced.
   *
   * @param commandId the command's id
   * @param code the answer
   * @param cell the cell, where one was meant
   * @param hold the cell's hold number after it
   * @param revision the cell's revision after it
   * @param detail in words
   */
  record CommandAnswered(
      String commandId,
      AnswerCode code,
      Optional<String> cell,
      int hold,
      int revision,
      String detail)
      implements Decision {}

  /**
   * The path of a hold from the agent to the machine was proved: the cell heard the hold that was
   * asked for as a test, and stopped for it.
   *
   * @param cell the cell
   * @param hold the number of the hold that proved it
   */
  record HoldTestPassed(String cell, int hold) implements Decision {}

  /**
   * A cell test ended. Its lines stand in {@link Event.CellTestWalked}, where the output told them.
   *
   * @param cell the cell
   * @param run the seq of the command that began it
   * @param begun when it began
   * @param by who asked for it
   * @param authenticatedAs what was proved of him
   * @param outcome {@value #PASSED}, or why not
   * @param passed the steps that passed
   * @param failed the steps that did not
   */
  record CellTestEnded(
      String cell,
      long run,
      Instant begun,
      String by,
      String authenticatedAs,
      String outcome,
      int passed,
      int failed)
      implements Decision {
    /** The outcome of a walk over every bit without a failed step. */
    public static final String PASSED = "passed";
  }

  /**
   * A feature could not be judged because of a fault of our own; other features go on.
   *
   * @param feature the feature
   * @param fault the kind of fault, by its class; its words may differ from run to run, because a
   *     virtual machine may leave them out, so they go by {@link Effect.Faulted}
   */
  record NotJudged(String feature, String fault) implements Decision {}
}
