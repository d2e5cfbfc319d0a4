package org.borewarden.agent.publish.mqtt;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Iterator;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.mqtt.ReasonCodes;

/**
 * Rows that the broker refused and that are tried again after a while, and the rows that wait
 * behind them so that the order within a topic stays. Owned by the publisher's thread.
 */
final class Refusals {
  /** A row is set aside when it was refused so often. */
  static final int TRIES = 3;

  /** The wait after the first refusal; it doubles. */
  private static final Duration FIRST_WAIT = Duration.ofMillis(500);

  /** More rows than this do not wait in memory; then the publisher reads no further. */
  private static final int MOST_BEHIND = 1000;

  private final Map<Long, Integer> tries = new HashMap<>();
  private final NavigableMap<Long, Retry> open = new TreeMap<>();
  private final Deque<Entry> behind = new ArrayDeque<>();
  private final Set<String> denied = new HashSet<>();

  /**
   * A row that was refused and is not done with.
   *
   * @param row the row
   * @param dueNanos when it is tried again
   * @param underWay whether it is just being tried again
   */
  private record Retry(Entry row, long dueNanos, boolean underWay) {}

  /** The broker refused a row; true when it has to be set aside. */
  boolean refused(Entry row, int reasonCode, long now) {
    int times = tries.merge(row.seq(), 1, Integer::sum);
    boolean unauthorised = reasonCode == ReasonCodes.NOT_AUTHORISED;
    if (times >= TRIES || (unauthorised && denied.contains(topic(row)))) {
      if (unauthorised) {
        // The rows after it on this topic need not be tried so often.
        denied.add(topic(row));
      }
      return true;
    }
    long wait = FIRST_WAIT.toNanos() << (times - 1);
    open.put(row.seq(), new Retry(row, now + wait, false));
    return false;
  }

  /** A row was taken. */
  void taken(Entry row) {
    gone(row);
    denied.remove(topic(row));
  }

  /** A row was taken or set aside. */
  void gone(Entry row) {
    tries.remove(row.seq());
    open.remove(row.seq());
  }

  /** Whether a row must wait for an older one of its topic. */
  boolean holdsBack(Entry row) {
    return olderIsOpen(row) || behind.stream().anyMatch(other -> topic(other).equals(topic(row)));
  }

  private boolean olderIsOpen(Entry row) {
    return open.headMap(row.seq()).values().stream()
        .anyMatch(retry -> topic(retry.row()).equals(topic(row)));
  }

  void waitBehind(Entry row) {
    behind.addLast(row);
  }

  boolean full() {
    return behind.size() >= MOST_BEHIND;
  }

  boolean anyWait() {
    return !open.isEmpty() || !behind.isEmpty();
  }

  /** A refused row whose wait is over, else a row that no longer waits behind one. */
  Optional<Entry> dueRow(long now) {
    for (Retry retry : open.values()) {
      if (!retry.underWay() && now - retry.dueNanos() >= 0 && !olderIsOpen(retry.row())) {
        open.put(retry.row().seq(), new Retry(retry.row(), retry.dueNanos(), true));
        return Optional.of(retry.row());
      }
    }
    return freed();
  }

  private Optional<Entry> freed() {
    Iterator<Entry> rows = behind.iterator();
    while (rows.hasNext()) {
      Entry row = rows.next();
      if (!olderIsOpen(row)) {
        rows.remove();
        return Optional.of(row);
      }
    }
    return Optional.empty();
  }

  /** The connection is gone: everything is read again from the outbox; the counts stay. */
  void forgetWaits() {
    open.clear();
    behind.clear();
    denied.clear();
  }

  private static String topic(Entry row) {
    return row.topic().orElse("");
  }
}
