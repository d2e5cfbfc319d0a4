package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.hold.Alert;
import org.borewarden.rules.hold.AlertBook;
import org.borewarden.rules.hold.AlertInput;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.watch.Finding;

/** What findings, conditions and people do to the alerts. */
final class Alerts {
  static final String SHELVE_TIMER = "shelve:";

  private Alerts() {}

  static void raised(
      Work work, Feature feature, Finding finding, boolean holds, boolean wouldHaveHeld) {
    apply(
        work,
        new AlertInput.Raised(
            finding.key(),
            finding.reason(),
            Optional.of(feature.id()),
            feature.cell(),
            holds,
            wouldHaveHeld,
            finding.partsLeft(),
            finding.words()));
  }

  /** A condition asks for a person, except while a start still gathers its evidence. */
  static void condition(Work work, String cell, Condition condition) {
    Event event = work.event.event();
    if (event instanceof Event.AgentStarted || event instanceof Event.RulesLoaded) {
      return;
    }
    apply(
        work,
        new AlertInput.Raised(
            key(cell, condition),
            condition.reason(),
            Optional.empty(),
            Optional.of(cell),
            false,
            false,
            OptionalInt.empty(),
            cell
                + " is not ready: "
                + condition.reason().key()
                + condition.subject().map(s -> " " + s).orElse("")));
  }

  static void conditionGone(Work work, String cell, Condition condition) {
    returned(work, key(cell, condition));
  }

  /** The cell ignores the permit by its own key: a person must know, the state stays. */
  static void ownBypass(Work work, String cell, boolean on, boolean wasOn) {
    String key = Reason.OWN_BYPASS.key() + "/" + cell;
    if (on && !wasOn) {
      apply(
          work,
          ofCell(cell, Reason.OWN_BYPASS, cell + " ignores the permit by its own bypass key"));
    } else if (wasOn && !on) {
      returned(work, key);
    }
  }

  /** A gauge must be put on its ring: people are asked, never left to remember. */
  static void ringCheckDue(Work work, String gauge) {
    apply(
        work,
        new AlertInput.Raised(
            ringCheckKey(gauge),
            Reason.RING_CHECK_DUE,
            Optional.empty(),
            Optional.empty(),
            false,
            false,
            OptionalInt.empty(),
            gauge + " is due for its ring check"));
  }

  static String ringCheckKey(String gauge) {
    return Reason.RING_CHECK_DUE.key() + "/" + gauge;
  }

  /** The path of a hold to a cell is due to be proved. Said once while it stands. */
  static void holdTestDue(Work work, String cell, Optional<Instant> passed) {
    String key = Reason.HOLD_TEST_DUE.key() + "/" + cell;
    boolean said =
        Optional.ofNullable(work.alerts.alerts().get(key)).map(Alert::standing).orElse(false);
    if (said) {
      return;
    }
    String last = passed.map(at -> "was last proved " + at).orElse("was never proved");
    apply(work, ofCell(cell, Reason.HOLD_TEST_DUE, "the path of a hold to " + cell + " " + last));
  }

  static void holdTestNotDue(Work work, String cell) {
    returned(work, Reason.HOLD_TEST_DUE.key() + "/" + cell);
  }

  /** A challenge piece is due. Said once while it stands. */
  static void challengeDue(Work work, Feature feature, Instant since) {
    String key = Outs.key(Reason.CHALLENGE_DUE, feature);
    boolean said =
        Optional.ofNullable(work.alerts.alerts().get(key)).map(Alert::standing).orElse(false);
    if (!said) {
      String words = "no challenge piece of " + feature.id() + " was seen since " + since;
      apply(
          work,
          new AlertInput.Raised(
              key,
              Reason.CHALLENGE_DUE,
              Optional.of(feature.id()),
              feature.cell(),
              false,
              false,
              OptionalInt.empty(),
              words));
    }
  }

  static void challengeNotDue(Work work, String feature) {
    returned(work, Reason.CHALLENGE_DUE.key() + "/" + feature);
  }

  /** What one person asked for waits for a second one. */
  static void secondPerson(Work work, String cell, String words) {
    apply(work, ofCell(cell, Reason.SECOND_PERSON, words));
  }

  /** Nothing waits for a second person any more; whoever confirmed has seen it. */
  static void secondPersonGone(Work work, String cell, Optional<String> by) {
    String key = Reason.SECOND_PERSON.key() + "/" + cell;
    by.ifPresent(person -> apply(work, new AlertInput.Acknowledged(key, person)));
    returned(work, key);
  }

  private static AlertInput.Raised ofCell(String cell, Reason reason, String words) {
    return new AlertInput.Raised(
        reason.key() + "/" + cell,
        reason,
        Optional.empty(),
        Optional.of(cell),
        false,
        false,
        OptionalInt.empty(),
        words);
  }

  private static String key(String cell, Condition condition) {
    return condition.reason().key() + "/" + cell + condition.subject().map(s -> "/" + s).orElse("");
  }

  static void returned(Work work, String key) {
    apply(work, new AlertInput.Returned(key));
  }

  static void released(Work work, String cell, String by) {
    apply(work, new AlertInput.HoldReleased(cell, by));
  }

  static void unshelved(Work work, String key) {
    apply(work, new AlertInput.Unshelved(key, "agent"));
  }

  static AnswerCode acknowledged(Work work, String alert, String by) {
    return apply(work, new AlertInput.Acknowledged(keyOf(work, alert), by))
        .orElse(AnswerCode.ACCEPTED);
  }

  static AnswerCode shelved(Work work, Order.Shelve shelve, String by) {
    Duration time = Duration.ofMinutes(shelve.minutes());
    Instant until = work.at().plus(time);
    String key = keyOf(work, shelve.alert());
    AnswerCode code =
        apply(work, new AlertInput.Shelved(key, until, by, shelve.reason()))
            .orElse(AnswerCode.ACCEPTED);
    if (code == AnswerCode.ACCEPTED) {
      work.effect(new Effect.TimerSet(SHELVE_TIMER + key, time));
    }
    return code;
  }

  /** Out of the shelf before its time. */
  static AnswerCode unshelved(Work work, String alert, String by) {
    String key = keyOf(work, alert);
    if (!isIn(work, key, AlertState.SHELVED)) {
      return AnswerCode.NOTHING_HELD;
    }
    work.effect(new Effect.TimerCleared(SHELVE_TIMER + key));
    return apply(work, new AlertInput.Unshelved(key, by)).orElse(AnswerCode.ACCEPTED);
  }

  /** A shelving's time has no more to say to an alert that is out of service. */
  static AnswerCode outOfService(Work work, Order.OutOfService out, String by) {
    String key = keyOf(work, out.alert());
    boolean shelved = isIn(work, key, AlertState.SHELVED);
    AnswerCode code =
        apply(work, new AlertInput.OutOfService(key, by, out.reason())).orElse(AnswerCode.ACCEPTED);
    if (shelved && code == AnswerCode.ACCEPTED) {
      work.effect(new Effect.TimerCleared(SHELVE_TIMER + key));
    }
    return code;
  }

  static AnswerCode backInService(Work work, String alert, String by) {
    String key = keyOf(work, alert);
    if (!isIn(work, key, AlertState.OUT_OF_SERVICE)) {
      return AnswerCode.NOTHING_HELD;
    }
    return apply(work, new AlertInput.BackInService(key, by)).orElse(AnswerCode.ACCEPTED);
  }

  private static boolean isIn(Work work, String key, AlertState state) {
    return Optional.ofNullable(work.alerts.alerts().get(key))
        .map(alert -> alert.view().state() == state)
        .orElse(false);
  }

  /** On topics a key's slashes are dots; and an id in it may have dots of its own. */
  private static String keyOf(Work work, String alert) {
    return work.alerts.alerts().keySet().stream()
        .filter(key -> key.equals(alert) || key.replace('/', '.').equals(alert))
        .findFirst()
        .orElse(alert);
  }

  /** Whether an alert of a cell stands, seen or not. */
  static boolean standsFor(AlertBook book, String cell) {
    return book.views().stream()
        .filter(alert -> alert.cell().equals(Optional.of(cell)))
        .anyMatch(
            alert ->
                alert.state() == AlertState.ACTIVE_UNACKNOWLEDGED
                    || alert.state() == AlertState.ACTIVE_ACKNOWLEDGED
                    || alert.state() == AlertState.LATCHED);
  }

  private static Optional<AnswerCode> apply(Work work, AlertInput input) {
    AlertBook.Step step = work.alerts.step(input, work.at());
    work.alerts = step.next();
    step.changed().forEach(alert -> work.decide(new Decision.AlertChanged(alert)));
    return step.code();
  }
}
