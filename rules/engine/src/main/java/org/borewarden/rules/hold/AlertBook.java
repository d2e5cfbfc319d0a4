package org.borewarden.rules.hold;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;

/**
 * All alerts that are not normal, one per cause. Pure and total. A hold's alert never leaves by
 * returning: it is latched until the release. Nothing here limits a raise; limits on notifications
 * belong to whoever notifies.
 *
 * @param alerts by key, in the order of the keys
 */
public record AlertBook(Map<String, Alert> alerts) {
  /** The longest shelving. A longer one is refused as over the limit. */
  public static final Duration MAX_SHELVED = Duration.ofDays(1);

  /** No alert stands. */
  public static final AlertBook EMPTY = new AlertBook(Map.of());

  /** Copies the map and sorts it by key. */
  public AlertBook {
    alerts = Collections.unmodifiableMap(new TreeMap<>(alerts));
  }

  /**
   * What one input did.
   *
   * @param next the book after it
   * @param code the answer to a person; empty for what is recorded only
   * @param changed the alerts that changed, also those that are normal now and left the book
   */
  public record Step(AlertBook next, Optional<AnswerCode> code, List<AlertView> changed) {
    /** Copies the list. */
    public Step {
      changed = List.copyOf(changed);
    }
  }

  /**
   * Takes one input.
   *
   * @param input what happened
   * @param at the wall time of its event
   * @return the book after it and what changed
   */
  public Step step(AlertInput input, Instant at) {
    if (input instanceof AlertInput.HoldReleased released) {
      return release(released);
    }
    if (input instanceof AlertInput.OfKey one) {
      Optional<Alert> before = Optional.ofNullable(alerts.get(one.key()));
      AlertLife.Turn turn = AlertLife.turn(before, one, at);
      return new Step(with(one.key(), turn.next()), turn.code(), changes(before, turn.next()));
    }
    throw new IllegalArgumentException("unknown input " + input);
  }

  /**
   * What people see, in the order of the keys.
   *
   * @return the alerts that are not normal
   */
  public List<AlertView> views() {
    return alerts.values().stream().map(Alert::view).toList();
  }

  /**
   * The alerts whose shelving is over.
   *
   * @param at the wall time now
   * @return their keys; {@link AlertInput.Unshelved} is due for each
   */
  public List<String> shelvedUntil(Instant at) {
    return alerts.values().stream()
        .map(Alert::view)
        .filter(view -> view.state() == AlertState.SHELVED)
        .filter(view -> view.until().isPresent() && !view.until().get().isAfter(at))
        .map(AlertView::key)
        .toList();
  }

  private Step release(AlertInput.HoldReleased released) {
    AlertBook next = this;
    List<AlertView> changed = new ArrayList<>();
    for (Alert before : alerts.values()) {
      if (before.view().cell().equals(Optional.of(released.cell())) && before.view().holds()) {
        Optional<Alert> after = AlertLife.release(before, released.by());
        changed.addAll(changes(Optional.of(before), after));
        next = next.with(before.view().key(), after);
      }
    }
    return new Step(next, Optional.empty(), changed);
  }

  private AlertBook with(String key, Optional<Alert> alert) {
    if (alert.equals(Optional.ofNullable(alerts.get(key)))) {
      return this;
    }
    Map<String, Alert> next = new TreeMap<>(alerts);
    alert
        .filter(a -> a.view().state() != AlertState.NORMAL)
        .ifPresentOrElse(a -> next.put(key, a), () -> next.remove(key));
    return new AlertBook(next);
  }

  private static List<AlertView> changes(Optional<Alert> before, Optional<Alert> after) {
    return after.equals(before) ? List.of() : after.map(Alert::view).stream().toList();
  }
}
