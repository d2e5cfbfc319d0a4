package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.FormVerdict;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.watch.Finding;

/** What a verdict finds: limits of size and form passed, evidence that is missing. */
final class Outs {
  private Outs() {}

  /** The findings of a verdict that was reached. */
  static List<Finding> ofVerdict(Feature feature, Bore bore, Judgement judgement) {
    List<Finding> findings = new ArrayList<>();
    List<Verdict> sides = new ArrayList<>(List.of(judgement.verdict()));
    judgement.also().ifPresent(sides::add);
    for (Verdict side : sides) {
      switch (side) {
        case UNDERSIZE ->
            findings.add(out(feature, bore, Reason.UNDERSIZE, feature.undersize().action()));
        case OVERSIZE ->
            findings.add(out(feature, bore, Reason.OVERSIZE, feature.oversize().action()));
        case WITHIN, UNDECIDED_LOW, UNDECIDED_HIGH, WITHHELD, CONFIRMING -> {
          // No limit is proven to be passed.
        }
      }
    }
    form(feature, bore).ifPresent(findings::add);
    return findings;
  }

  private static Finding out(Feature feature, Bore bore, Reason reason, Action action) {
    return out(feature, bore.part(), reason, action);
  }

  private static Finding out(Feature feature, long part, Reason reason, Action action) {
    return finding(
        feature, reason, action, feature.id() + " of part " + part + " is " + reason.key());
  }

  /** The findings of a verdict without a number. */
  static List<Finding> ofAttribute(Feature feature, long part, Verdict verdict) {
    return switch (verdict) {
      case UNDERSIZE -> List.of(out(feature, part, Reason.UNDERSIZE, feature.undersize().action()));
      case OVERSIZE -> List.of(out(feature, part, Reason.OVERSIZE, feature.oversize().action()));
      case WITHIN, UNDECIDED_LOW, UNDECIDED_HIGH, WITHHELD, CONFIRMING -> List.of();
    };
  }

  private static Optional<Finding> form(Feature feature, Bore bore) {
    Optional<FormRules> rules = feature.measuring().plan().flatMap(Plan::form);
    String over =
        bore.measured().map(Measured::form).orElse(List.of()).stream()
            .filter(form -> form.verdict() == FormVerdict.OVER)
            .map(form -> form.kind().key())
            .collect(Collectors.joining(", "));
    return rules
        .filter(r -> !over.isEmpty())
        .map(
            r ->
                finding(
                    feature,
                    Reason.FORM,
                    r.action(),
                    feature.id() + " of part " + bore.part() + " is over its limit of " + over));
  }

  /** A reading out of limit was not confirmed in time: it counts as if it were. */
  static List<Finding> notConfirmed(Feature feature, Bore bore, Judgement judged, String why) {
    boolean low = judged.verdict() == Verdict.UNDERSIZE;
    Action action = low ? feature.undersize().action() : feature.oversize().action();
    return List.of(
        finding(
            feature,
            Reason.NOT_CONFIRMED,
            action,
            feature.id()
                + " of part "
                + bore.part()
                + " would be "
                + judged.verdict().key()
                + " and was not confirmed: "
                + why));
  }

  /** A value that may not be believed and would be out of limit asks for a person all the same. */
  static Finding notJudged(Feature feature, long part, Verdict wouldBe) {
    return finding(
        feature,
        Reason.WITHHELD,
        new Action(Action.Level.ALERT, StopKind.END_OF_PART, Optional.empty()),
        feature.id() + " of part " + part + " is not judged, would be " + wouldBe.key());
  }

  /** Withheld bores in a row: nothing is known of the parts any more. */
  static Finding noEvidence(Feature feature, int bores) {
    return finding(
        feature,
        Reason.NO_EVIDENCE,
        new Action(Action.Level.HOLD, StopKind.END_OF_PART, Optional.empty()),
        bores + " bores of " + feature.id() + " in a row are withheld");
  }

  /** Too many first readings are out and then not: people or dirt, not parts. */
  static Finding backIn(Feature feature, Tally tally) {
    return finding(
        feature,
        Reason.CONFIRMED_IN,
        new Action(Action.Level.ALERT, StopKind.END_OF_PART, Optional.empty()),
        tally.backIn()
            + " of "
            + tally.judged()
            + " bores of "
            + feature.id()
            + " were out at the first reading and confirmed back in");
  }

  /** What a bore within ends. */
  static List<String> clearedByVerdict(Feature feature, Bore bore, Verdict verdict) {
    List<String> cleared = new ArrayList<>();
    if (verdict == Verdict.WITHIN) {
      cleared.add(key(Reason.UNDERSIZE, feature));
      cleared.add(key(Reason.OVERSIZE, feature));
      if (bore.measured().isPresent()) {
        cleared.add(key(Reason.NOT_CONFIRMED, feature));
      }
    }
    if (verdict != Verdict.WITHHELD && bore.measured().isPresent()) {
      cleared.add(key(Reason.WITHHELD, feature));
    }
    if (bore.measured().map(m -> !m.form().isEmpty() && m.formGood()).orElse(false)) {
      cleared.add(key(Reason.FORM, feature));
    }
    return cleared;
  }

  static Finding finding(Feature feature, Reason reason, Action action, String words) {
    return new Finding(
        key(reason, feature), feature.id(), reason, action, OptionalInt.empty(), words);
  }

  static String key(Reason reason, Feature feature) {
    return reason.key() + "/" + feature.id();
  }
}
