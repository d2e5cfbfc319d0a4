package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.Optional;
import java.util.OptionalInt;
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
          new AlertInput.Raised(
              key,
              Reason.OWN_BYPASS,
              Optional.empty(),
              Optional.of(cell),
              false,
              false,
              OptionalInt.empty(),
              cell + " ignores the permit by its own bypass key"));
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
