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

  /**
   * The same for rows that were refused for a quota while the broker took others; the waits between
   * make it a minute and more.
   */
  static final int QUOTA_TRIES = 8;

  /** The wait after the first refusal; it doubles. */
  private static final Duration FIRST_WAIT = Duration.ofMillis(500);

  private static final Duration LONGEST_WAIT = Duration.ofSeconds(30);
  private static final int MOST_DOUBLINGS = 10;

  /** More rows than this do not wait in memory; then the publisher reads no further. */
  private static final int MOST_BEHIND = 1000;

  private final Map<Long, Integer> tries = new HashMap<>();
  private final Map<Long, Integer> closes = new HashMap<>();
  private final Map<Long, Quota> quotas = new HashMap<>();
  private final NavigableMap<Long, Retry> open = new TreeMap<>();
  private final Deque<Entry> behind = new ArrayDeque<>();
  private final Set<String> denied = new HashSet<>();
  private long taken;

  /**
   * A row that was refused and is not done with.
   *
   * @param row the row
   * @param dueNanos when it is tried again
   * @param underWay whether it is just being tried again
   * @param alone whether it has to go alone, since the broker closed the connection at it
   */
  private record Retry(Entry row, long dueNanos, boolean underWay, boolean alone) {}

  /**
   * A row that was refused for a quota.
   *
   * @param times how often
   * @param counted how often the broker had taken another row since the time before
   * @param takenBefore how many rows the broker had taken until then
   */
  private record Quota(int times, int counted, long takenBefore) {}

  /** The broker refused a row; true when it has to be set aside. */
  boolean refused(Entry row, int reasonCode, long now) {
    if (reasonCode == ReasonCodes.QUOTA_EXCEEDED) {
      return refusedForQuota(row, now);
    }
    int times = tries.merge(row.seq(), 1, Integer::sum);
    boolean unauthorised = reasonCode == ReasonCodes.NOT_AUTHORISED;
    if (times >= TRIES || (unauthorised && denied.contains(topic(row)))) {
      if (unauthorised) {
        // The rows after it on this topic need not be tried so often.
        denied.add(topic(row));
      }
      return true;
    }
    retry(row, times, now);
    return false;
  }

  /**
   * A quota is the broker's state and not the row's: while it takes no row at all, all wait. Where
   * it takes others, this one has its tries.
   */
  private boolean refusedForQuota(Entry row, long now) {
    Quota before = quotas.getOrDefault(row.seq(), new Quota(0, 0, -1));
    int counted = before.counted() + (before.takenBefore() == taken ? 0 : 1);
    quotas.put(row.seq(), new Quota(before.times() + 1, counted, taken));
    if (counted >= QUOTA_TRIES) {
      return true;
    }
    retry(row, before.times() + 1, now);
    return false;
  }

  private void retry(Entry row, int times, long now) {
    long wait = FIRST_WAIT.toNanos() << Math.min(times - 1, MOST_DOUBLINGS);
    long capped = Math.min(wait, LONGEST_WAIT.toNanos());
    open.put(row.seq(), new Retry(row, now + capped, false, closes.containsKey(row.seq())));
  }

  /** The broker closed the connection at a row that was alone; true when it has to be set aside. */
  boolean closedAt(Entry row, long now) {
    int times = closes.merge(row.seq(), 1, Integer::sum);
    if (times >= TRIES) {
      return true;
    }
    retry(row, times, now);
    return false;
  }

  /** How often the broker closed the connection at a row. */
  int closes(Entry row) {
    return closes.getOrDefault(row.seq(), 0);
  }

  /** A row was taken. */
  void taken(Entry row) {
    taken++;
    gone(row);
    denied.remove(topic(row));
  }

  /** A row was taken or set aside. */
  void gone(Entry row) {
    tries.remove(row.seq());
    closes.remove(row.seq());
    quotas.remove(row.seq());
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

  /** Whether a row was refused, or the broker closed at it, and it is not done with. */
  boolean isOpen(Entry row) {
    return open.containsKey(row.seq());
  }

  /** A refused row whose wait is over, else a row that no longer waits behind one. */
  Optional<Entry> dueRow(long now) {
    Optional<Retry> due = due(now, false);
    due.ifPresent(
        retry ->
            open.put(retry.row().seq(), new Retry(retry.row(), retry.dueNanos(), true, false)));
    return due.map(Retry::row).or(this::freed);
  }

  /** A row that has to go alone and whose wait is over. */
  Optional<Entry> dueAlone(long now) {
    return due(now, true).map(Retry::row);
  }

  private Optional<Retry> due(long now, boolean alone) {
    return open.values().stream()
        .filter(retry -> retry.alone() == alone && !retry.underWay())
        .filter(retry -> now - retry.dueNanos() >= 0 && !olderIsOpen(retry.row()))
        .findFirst();
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

  /**
   * The connection is gone: everything is read again from the outbox, but for rows that were
   * refused for what they are. These keep their waits, so that where the broker closes the
   * connection at each refusal the others go on between. A quota may be another one now.
   */
  void lost() {
    for (Retry quota : open.values().stream().filter(this::isQuota).toList()) {
      // With the younger ones of its topic, which would overtake it.
      open.tailMap(quota.row().seq())
          .values()
          .removeIf(retry -> topic(retry.row()).equals(topic(quota.row())));
    }
    open.replaceAll((seq, retry) -> new Retry(retry.row(), retry.dueNanos(), false, retry.alone()));
    behind.clear();
  }

  private boolean isQuota(Retry retry) {
    return quotas.containsKey(retry.row().seq());
  }

  /** Everything is read again from the outbox, what waits behind others too. */
  void readAgain() {
    behind.clear();
  }

  /**
   * A new connection serves the others first: what was refused before waits a while from here on.
   */
  void connected(long now) {
    long soonest = now + FIRST_WAIT.toNanos();
    open.replaceAll(
        (seq, retry) ->
            soonest - retry.dueNanos() > 0
                ? new Retry(retry.row(), soonest, false, retry.alone())
                : retry);
  }

  private static String topic(Entry row) {
    return row.topic().orElse("");
  }
}
