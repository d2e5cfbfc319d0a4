package org.borewarden.agent.publish.mqtt;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.Outbox;

/** An outbox in memory. Thread-safe. */
final class FakeOutbox implements Outbox {
  private final NavigableMap<Long, Entry> rows = new TreeMap<>();
  private final Map<String, Long> last = new HashMap<>();
  private final Map<Long, String> aside = new LinkedHashMap<>();
  private final List<Long> acknowledged = new ArrayList<>();
  private final Semaphore work = new Semaphore(0);
  private final NavigableMap<Long, Entry> kept = new TreeMap<>();
  private long seq;
  private long rewinds;
  private int failures;

  /** Adds a row with a body of that many bytes and more. */
  synchronized long add(String topic, int bytes) {
    seq++;
    long prev = last.getOrDefault(topic, 0L);
    last.put(topic, seq);
    String body = "{\"fill\":\"" + "x".repeat(bytes) + "\"}";
    Instant at = Instant.ofEpochMilli(1_772_460_000_000L + seq);
    Entry row = new Entry(seq, seq, at, "test", Optional.of(topic), prev, "r1", body);
    rows.put(seq, row);
    kept.put(seq, row);
    work.release();
    return seq;
  }

  @Override
  public synchronized List<Entry> next(long afterSeq, int max) {
    return rows.tailMap(afterSeq, false).values().stream().limit(max).toList();
  }

  @Override
  public synchronized void acknowledged(long row) {
    rows.remove(row);
    acknowledged.add(row);
  }

  @Override
  public synchronized void setAside(long row, String why) {
    rows.remove(row);
    aside.put(row, why);
  }

  /** Rows that were answered come back. */
  synchronized void sendAgain(long from, long to) {
    rows.putAll(kept.subMap(from, true, to, true));
    rewinds++;
    work.release();
  }

  @Override
  public synchronized long rewinds() {
    return rewinds;
  }

  /** The next looks at a topic fail. */
  synchronized void fail(int looks) {
    failures = looks;
  }

  @Override
  public synchronized boolean isNewestOnItsTopic(Entry row) throws JournalException {
    if (failures > 0) {
      failures--;
      throw new JournalException("cannot read");
    }
    return last.getOrDefault(row.topic().orElse(""), 0L) <= row.seq();
  }

  @Override
  public synchronized long waiting() {
    return rows.size();
  }

  @Override
  public void awaitWork(long millis) throws InterruptedException {
    if (work.tryAcquire(millis, TimeUnit.MILLISECONDS)) {
      work.drainPermits();
    }
  }

  synchronized Map<Long, String> aside() {
    return new LinkedHashMap<>(aside);
  }

  synchronized List<Long> acknowledged() {
    return new ArrayList<>(acknowledged);
  }
}
