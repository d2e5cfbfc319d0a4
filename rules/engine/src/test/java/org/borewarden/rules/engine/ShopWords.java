package org.borewarden.rules.engine;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.watch.Finding;

/** What a step decided, a line each, as it stands in a story. */
final class ShopWords {
  private ShopWords() {}

  static Stream<String> of(Stamped event, Step step) {
    Stream<String> decided =
        Stream.iterate(0, i -> i < step.decisions().size(), i -> i + 1)
            .map(i -> event.seq() + 1 + i + " " + words(step.decisions().get(i)));
    List<Effect> effects = step.effects();
    List<Effect.GaugeMoved> moves =
        effects.stream()
            .filter(Effect.GaugeMoved.class::isInstance)
            .map(Effect.GaugeMoved.class::cast)
            .toList();
    return Stream.concat(
        decided,
        effects.stream()
            // Of a gauge that moved twice only what it shows at the end.
            .filter(e -> !(e instanceof Effect.GaugeMoved) || e == moves.get(moves.size() - 1))
            .flatMap(e -> words(e).stream()));
  }

  private static Optional<String> words(Effect effect) {
    if (effect instanceof Effect.Faulted faulted) {
      return Optional.of(
          "log " + faulted.feature() + ": " + faulted.fault().getClass().getSimpleName());
    }
    if (effect instanceof Effect.GaugeMoved moved && moved.gauge().turn().isPresent()) {
      TurnView turn = moved.gauge().turn().get();
      return Optional.of(
          "next at "
              + moved.gauge().gauge()
              + ": "
              + turn.feature()
              + ", "
              + turn.place()
              + " of "
              + turn.of());
    }
    if (effect instanceof Effect.PortAsked asked) {
      return Optional.of("asks " + asked.port());
    }
    if (effect instanceof Effect.TimerSet set) {
      return Optional.of("timer " + set.timer() + " in " + set.after().toSeconds() + " s");
    }
    return effect instanceof Effect.TimerCleared cleared
        ? Optional.of("no timer " + cleared.timer())
        : Optional.empty();
  }

  private static String words(Decision decision) {
    if (decision instanceof Decision.BoreJudged judged) {
      return judged(judged);
    }
    if (decision instanceof Decision.Found found) {
      return found(found.finding()) + (found.wouldHaveHeld() ? ", would have held" : "");
    }
    if (decision instanceof Decision.HoldChanged changed) {
      return hold(changed.hold())
          + changed.grantPending().map(r -> ", waits for the record of r" + r).orElse("");
    }
    if (decision instanceof Decision.CommandAnswered answered) {
      return "answer "
          + answered.commandId()
          + " "
          + answered.code().key()
          + (answered.detail().isEmpty() ? "" : ": " + answered.detail());
    }
    if (decision instanceof Decision.SerialCorrected corrected) {
      return corrected.feature()
          + " bore "
          + corrected.seq()
          + " is of "
          + corrected.serial()
          + corrected.was().map(was -> ", not of " + was).orElse("")
          + ", "
          + corrected.reason()
          + ", by "
          + corrected.by();
    }
    if (decision instanceof Decision.HandedOver over) {
      return over.cell()
          + " from "
          + over.by()
          + over.to().map(to -> " to " + to).orElse("")
          + ", open: "
          + over.items().size();
    }
    if (decision instanceof Decision.BoreDiscarded discarded) {
      return discarded.feature() + " bore " + discarded.seq() + " taken back";
    }
    if (decision instanceof Decision.AttributeJudged judged) {
      return judged.feature().id()
          + " part "
          + judged.part()
          + " "
          + judged.verdict().key()
          + " without a number, "
          + judged.reason()
          + ", by "
          + judged.by();
    }
    if (decision instanceof Decision.FeatureSkipped skipped) {
      return skipped.feature()
          + " of part "
          + skipped.part()
          + " skipped, "
          + skipped.reason()
          + ", by "
          + skipped.by();
    }
    if (decision instanceof Decision.ReadingUnassigned unassigned) {
      return unassigned.gauge() + " unassigned";
    }
    if (decision instanceof Decision.AlertChanged changed) {
      return "alert "
          + changed.alert().key()
          + " "
          + changed.alert().state().key()
          + (changed.alert().count() > 1 ? " x" + changed.alert().count() : "");
    }
    if (decision instanceof Decision.ReadingCorrected corrected) {
      return corrected.gauge()
          + " "
          + LengthText.printSigned(corrected.correction(), Unit.MICROMETRE, 4)
          + " um, u "
          + LengthText.print(corrected.uncertainty(), Unit.MICROMETRE, 3);
    }
    if (decision instanceof Decision.ReadingDisbelieved disbelieved) {
      return disbelieved.gauge() + " " + disbelieved.why() + ": " + disbelieved.detail();
    }
    if (decision instanceof Decision.ReadingSetAside aside) {
      return aside.feature() + " reading set aside: " + aside.why();
    }
    if (decision instanceof Decision.RingChecked checked) {
      return ring(checked);
    }
    if (decision instanceof Decision.WindowSuspected suspected) {
      return window(suspected);
    }
    if (decision instanceof Decision.WindowWithdrawn withdrawn) {
      return withdrawn.gauge() + " window " + withdrawn.window() + " withdrawn";
    }
    if (decision instanceof Decision.NotJudged not) {
      return not.feature() + " not judged: " + not.fault();
    }
    if (decision instanceof Decision.HoldTestPassed passed) {
      return "hold " + passed.hold() + " proved the path to " + passed.cell();
    }
    return decision.toString();
  }

  private static String judged(Decision.BoreJudged judged) {
    return judged.feature().id()
        + " part "
        + judged.bore().part()
        + " "
        + LengthText.print(judged.bore().value(), judged.bore().unit(), judged.bore().decimals())
        + " "
        + judged.judgement().verdict().key()
        + judged.judgement().also().map(Verdict::key).map(a -> " and " + a).orElse("")
        + judged.judgement().cautions().stream()
            .filter(c -> !c.equals(Judge.NO_UNCERTAINTY_STATED))
            .map(c -> ", " + c)
            .collect(Collectors.joining())
        + judged.bore().measured().map(ShopWords::measured).orElse("")
        + beside(judged.beside());
  }

  private static String beside(Beside beside) {
    return beside
            .piece()
            .map(
                p ->
                    ", " + p.kind().key() + (p.of().isPresent() ? " of " + p.of().getAsLong() : ""))
            .orElse("")
        + beside.sizeClass().map(name -> ", class " + name).orElse("")
        + beside
            .conceded()
            .map(c -> ", " + c.verdict().key() + " by " + c.authority() + " until " + c.until())
            .orElse("");
  }

  private static String measured(Measured measured) {
    return measured.notes().stream().map(n -> ", " + n).collect(Collectors.joining())
        + measured.form().stream()
            .map(
                f ->
                    ", "
                        + f.kind().key()
                        + " "
                        + um((double) f.value().picometres())
                        + " "
                        + f.verdict().key())
            .collect(Collectors.joining());
  }

  private static String ring(Decision.RingChecked checked) {
    return checked.gauge()
        + " on "
        + checked.check().ring()
        + (checked.asLeft() ? " as left" : " as found")
        + ", error "
        + um(checked.check().error())
        + (checked.check().passed() ? ", good" : ", failed");
  }

  private static String window(Decision.WindowSuspected suspected) {
    SuspectWindow window = suspected.window();
    String error =
        window.least().isPresent()
            ? ", error "
                + um(window.least().getAsDouble())
                + " to "
                + um(window.most().orElseThrow())
            : "";
    String bores =
        window.listed().stream()
            .map(
                s ->
                    s.bore().part()
                        + (s.likelyChanged()
                            ? " ("
                                + s.bore().verdict().key()
                                + ", likely "
                                + s.verdict().orElseThrow().key()
                                + " "
                                + um(
                                    (double)
                                        s.likely()
                                            .orElseThrow()
                                            .minus(s.bore().nominal())
                                            .picometres())
                                + ")"
                            : ""))
            .collect(Collectors.joining(" "));
    return suspected.gauge()
        + " suspect"
        + error
        + ", measure "
        + window.listed().size()
        + " of "
        + window.bores()
        + (bores.isEmpty() ? " again" : " again: " + bores)
        + suspected
            .attribution()
            .map(a -> ", " + a.answer().key() + " " + um(a.boreShift()) + "/" + um(a.ringShift()))
            .orElse("");
  }

  /** Picometres as um with three decimals. */
  private static String um(double picometres) {
    return String.format(Locale.ROOT, "%+.3f", picometres / 1e6);
  }

  private static String found(Finding finding) {
    return finding.action().level().name().toLowerCase(Locale.ROOT)
        + " "
        + finding.key()
        + (finding.partsLeft().isPresent() ? " in " + finding.partsLeft().getAsInt() : "");
  }

  private static String hold(HoldView hold) {
    String causes =
        hold.causes().stream()
            .map(c -> c.key() + (c.count() > 1 ? " x" + c.count() : ""))
            .collect(Collectors.joining(" "));
    String conditions =
        hold.conditions().stream().map(ShopWords::condition).collect(Collectors.joining(" "));
    return hold.phase().name().toLowerCase(Locale.ROOT).replace('_', '-')
        + (hold.permitted() ? ", permit" : ", no permit")
        + hold.kind()
            .map(k -> k.name().toLowerCase(Locale.ROOT).replace('_', ' '))
            .map(k -> " (" + k + ")")
            .orElse("")
        + (hold.number() == 0 ? "" : ", hold " + hold.number())
        + ", r"
        + hold.revision()
        + (causes.isEmpty() ? "" : ", for " + causes)
        + (conditions.isEmpty() ? "" : ", while " + conditions)
        + (hold.stopped() ? ", stopped" : "")
        + (hold.trialPartsLeft() > 0 ? ", trial parts " + hold.trialPartsLeft() : "")
        + (hold.contain().isEmpty() ? "" : ", contain " + String.join(" ", hold.contain()))
        + (hold.watchOnly() ? ", watch-only" : "");
  }

  private static String condition(Condition condition) {
    return condition.reason().key() + condition.subject().map(s -> "/" + s).orElse("");
  }
}
