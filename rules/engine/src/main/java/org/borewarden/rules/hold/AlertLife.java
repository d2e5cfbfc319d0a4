package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.Optional;

/** The life of one alert: state by input, after ISA-18.2 / IEC 62682 as public texts tell it. */
final class AlertLife {
  private AlertLife() {}

  /**
   * An alert after one input.
   *
   * @param next the alert, empty where there is none
   * @param code the answer to a person; empty for what is recorded only
   */
  record Turn(Optional<Alert> next, Optional<AnswerCode> code) {}

  static Turn turn(Optional<Alert> before, AlertInput.OfKey input, Instant at) {
    if (input instanceof AlertInput.Raised raised) {
      return new Turn(Optional.of(raise(before, raised, at)), Optional.empty());
    }
    return before.map(alert -> turn(alert, input, at)).orElseGet(() -> unknown(input));
  }

  /** Nothing stands under that key: a person is told so, anything else is recorded only. */
  private static Turn unknown(AlertInput.OfKey input) {
    boolean asked =
        input instanceof AlertInput.Acknowledged
            || input instanceof AlertInput.Shelved
            || input instanceof AlertInput.OutOfService;
    return new Turn(
        Optional.empty(), asked ? Optional.of(AnswerCode.NOTHING_HELD) : Optional.empty());
  }

  private static Turn turn(Alert alert, AlertInput.OfKey input, Instant at) {
    if (input instanceof AlertInput.Returned) {
      return unanswered(comeBack(alert));
    }
    if (input instanceof AlertInput.Acknowledged ack) {
      return acknowledge(alert, ack);
    }
    if (input instanceof AlertInput.Shelved shelved) {
      return shelve(alert, shelved, at);
    }
    if (input instanceof AlertInput.OutOfService out) {
      return takeOut(alert, out);
    }
    if (input instanceof AlertInput.Unshelved unshelved) {
      return comeOut(alert, AlertState.SHELVED, unshelved.by());
    }
    if (input instanceof AlertInput.BackInService back) {
      return comeOut(alert, AlertState.OUT_OF_SERVICE, back.by());
    }
    throw new IllegalArgumentException("unknown input " + input);
  }

  /**
   * Counts the cause. An alert that now holds the cell comes out of any state in which people might
   * not see it, and must be seen anew.
   */
  private static Alert raise(Optional<Alert> before, AlertInput.Raised raised, Instant at) {
    boolean held = before.map(alert -> alert.view().holds()).orElse(false);
    boolean newlyHolds = raised.holds() && !held;
    AlertState from = before.map(alert -> alert.view().state()).orElse(AlertState.NORMAL);
    AlertState to = newlyHolds ? AlertState.ACTIVE_UNACKNOWLEDGED : raisedTo(from);
    boolean wasActive = before.map(Alert::standing).orElse(false);
    boolean fresh = !wasActive || newlyHolds;
    boolean aside = to == AlertState.SHELVED || to == AlertState.OUT_OF_SERVICE;
    AlertView last = before.map(Alert::view).orElseGet(() -> first(raised, at));
    AlertView view =
        new AlertView(
            raised.key(),
            to,
            raised.reason(),
            raised.feature(),
            raised.cell(),
            last.count() == Integer.MAX_VALUE ? last.count() : last.count() + 1,
            wasActive ? last.since() : at,
            fresh && !aside ? HoldState.AGENT : last.by(),
            fresh && !aside ? Optional.empty() : last.why(),
            aside ? last.until() : Optional.empty(),
            raised.partsLeft(),
            held || raised.holds(),
            raised.wouldHaveHeld(),
            raised.words());
    boolean seen = before.map(Alert::seen).orElse(false) && !fresh;
    return new Alert(view, true, seen);
  }

  private static AlertView first(AlertInput.Raised raised, Instant at) {
    return new AlertView(
        raised.key(),
        AlertState.NORMAL,
        raised.reason(),
        raised.feature(),
        raised.cell(),
        0,
        at,
        HoldState.AGENT,
        Optional.empty(),
        Optional.empty(),
        raised.partsLeft(),
        raised.holds(),
        raised.wouldHaveHeld(),
        raised.words());
  }

  private static AlertState raisedTo(AlertState from) {
    return switch (from) {
      case NORMAL, ACTIVE_UNACKNOWLEDGED, RETURNED_UNACKNOWLEDGED, LATCHED ->
          AlertState.ACTIVE_UNACKNOWLEDGED;
      case ACTIVE_ACKNOWLEDGED -> AlertState.ACTIVE_ACKNOWLEDGED;
      case SHELVED -> AlertState.SHELVED;
      case OUT_OF_SERVICE -> AlertState.OUT_OF_SERVICE;
    };
  }

  private static Alert comeBack(Alert alert) {
    Alert gone = alert.withStanding(false);
    return switch (alert.view().state()) {
      case ACTIVE_UNACKNOWLEDGED, ACTIVE_ACKNOWLEDGED ->
          alert.view().holds() ? byAgent(gone, AlertState.LATCHED) : ended(gone, HoldState.AGENT);
      case NORMAL, RETURNED_UNACKNOWLEDGED, LATCHED, SHELVED, OUT_OF_SERVICE -> gone;
    };
  }

  private static Alert byAgent(Alert alert, AlertState state) {
    return alert.move(state, HoldState.AGENT, Optional.empty(), Optional.empty());
  }

  /**
   * The cause is gone and nothing latches it: normal if somebody saw it, else it waits for that.
   */
  private static Alert ended(Alert alert, String by) {
    AlertState to = alert.seen() ? AlertState.NORMAL : AlertState.RETURNED_UNACKNOWLEDGED;
    return alert.move(to, by, Optional.empty(), Optional.empty());
  }

  private static Turn acknowledge(Alert alert, AlertInput.Acknowledged ack) {
    Alert seen = alert.withSeen(true);
    return switch (alert.view().state()) {
      case ACTIVE_UNACKNOWLEDGED -> accepted(moved(seen, AlertState.ACTIVE_ACKNOWLEDGED, ack.by()));
      case RETURNED_UNACKNOWLEDGED -> accepted(moved(seen, AlertState.NORMAL, ack.by()));
      case LATCHED -> accepted(alert.seen() ? alert : moved(seen, AlertState.LATCHED, ack.by()));
      case NORMAL, ACTIVE_ACKNOWLEDGED, SHELVED, OUT_OF_SERVICE -> unanswered(alert);
    };
  }

  private static Alert moved(Alert alert, AlertState to, String by) {
    return alert.move(to, by, Optional.empty(), Optional.empty());
  }

  private static Turn shelve(Alert alert, AlertInput.Shelved shelved, Instant at) {
    Optional<AnswerCode> refusal = asideRefusal(alert);
    if (refusal.isPresent()) {
      return new Turn(Optional.of(alert), refusal);
    }
    if (!shelved.until().isAfter(at) || shelved.until().isAfter(at.plus(AlertBook.MAX_SHELVED))) {
      return new Turn(Optional.of(alert), Optional.of(AnswerCode.OVER_LIMIT));
    }
    return accepted(
        alert.move(
            AlertState.SHELVED,
            shelved.by(),
            Optional.of(shelved.why()),
            Optional.of(shelved.until())));
  }

  private static Turn takeOut(Alert alert, AlertInput.OutOfService out) {
    Optional<AnswerCode> refusal =
        alert.view().state() == AlertState.SHELVED ? Optional.empty() : asideRefusal(alert);
    if (refusal.isPresent()) {
      return new Turn(Optional.of(alert), refusal);
    }
    return accepted(
        alert.move(AlertState.OUT_OF_SERVICE, out.by(), Optional.of(out.why()), Optional.empty()));
  }

  /** A hold's alert is never set aside, whoever asks; what is set aside already is not again. */
  private static Optional<AnswerCode> asideRefusal(Alert alert) {
    if (alert.view().holds()) {
      return Optional.of(AnswerCode.NO_RIGHT);
    }
    return switch (alert.view().state()) {
      case SHELVED, OUT_OF_SERVICE -> Optional.of(AnswerCode.ALREADY_PENDING);
      case NORMAL -> Optional.of(AnswerCode.NOTHING_HELD);
      case ACTIVE_UNACKNOWLEDGED, ACTIVE_ACKNOWLEDGED, RETURNED_UNACKNOWLEDGED, LATCHED ->
          Optional.empty();
    };
  }

  /** Out of the shelf or back in service: what stands must be seen anew. */
  private static Turn comeOut(Alert alert, AlertState aside, String by) {
    if (alert.view().state() != aside) {
      return unanswered(alert);
    }
    if (alert.standing()) {
      return accepted(moved(alert.withSeen(false), AlertState.ACTIVE_UNACKNOWLEDGED, by));
    }
    return accepted(ended(alert, by));
  }

  /** A release ends the hold's causes, whether or not they were seen to return. */
  static Optional<Alert> release(Alert alert, String by) {
    return Optional.of(ended(alert.withStanding(false).unheld(), by));
  }

  private static Turn accepted(Alert alert) {
    return new Turn(Optional.of(alert), Optional.of(AnswerCode.ACCEPTED));
  }

  private static Turn unanswered(Alert alert) {
    return new Turn(Optional.of(alert), Optional.empty());
  }
}
