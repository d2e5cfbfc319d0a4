package org.borewarden.agent.faults.sim;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import java.util.TreeSet;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.Journal;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.journal.Outbox;

/**
 * A journal on a simulated disk: what was appended waits, a sync stores whole groups and takes
 * answered rows out of the outbox in one transaction, and a crash leaves what was stored. A sync
 * may fail with its transaction stored or not; then nothing is stored until the disk is mended.
 */
final class SimDisk implements Journal, JournalView, Outbox {
  private static final int LIMIT = 30;
  private static final int RESERVE = 30;

  private final Random random;
  private final Tamper tamper;
  private final List<Entry> stored = new ArrayList<>();
  private final TreeSet<Long> outbox = new TreeSet<>();
  private final Map<Long, String> aside = new TreeMap<>();
  private final Deque<List<Entry>> pending = new ArrayDeque<>();
  private final Map<Long, Optional<String>> answers = new TreeMap<>();
  private Optional<JournalListener> listener = Optional.empty();
  private long appended;
  private long reported;
  private int pendingEntries;
  private boolean failing;
  private int given;

  SimDisk(Random random, Tamper tamper) {
    this.random = random;
    this.tamper = tamper;
  }

  void listen(JournalListener to) {
    listener = Optional.of(to);
  }

  /** What is stored, whether it was reported or not. */
  List<Entry> stored() {
    return stored;
  }

  /** Up to where the agent was told that it is synced. */
  long reported() {
    return reported;
  }

  boolean failing() {
    return failing;
  }

  Map<Long, String> aside() {
    return aside;
  }

  boolean isIdle() {
    return pending.isEmpty() && answers.isEmpty() && !failing;
  }

  @Override
  public void append(List<Entry> entries) {
    for (Entry entry : entries) {
      if (entry.seq() != ++appended) {
        throw new Violation("seq " + entry.seq() + " given where " + appended + " is next");
      }
    }
    pending.add(List.copyOf(entries));
    pendingEntries += entries.size();
    if (tamper == Tamper.TAKES_APPENDED_FOR_SYNCED) {
      listener.ifPresent(to -> to.durable(appended));
    }
  }

  @Override
  public boolean hasRoom() {
    return pendingEntries < LIMIT;
  }

  @Override
  public boolean hasReserve() {
    return pendingEntries < LIMIT + RESERVE;
  }

  /** The scribe's turn: some of what waits becomes one transaction. */
  void sync(boolean mayFail) {
    if (failing || (pending.isEmpty() && answers.isEmpty())) {
      return;
    }
    boolean fails = mayFail && random.nextInt(25) == 0;
    if (fails && random.nextBoolean()) {
      fail();
      return;
    }
    store(1 + random.nextInt(8));
    if (fails) {
      fail();
    } else {
      report();
    }
  }

  private void fail() {
    failing = true;
    if (tamper != Tamper.HEARS_OF_NO_FAILED_DISK) {
      listener.ifPresent(to -> to.failed("the simulated disk fails"));
    }
  }

  /** The disk is mended: what is stored is compared, what is missing is written. */
  void mend() {
    if (!failing) {
      return;
    }
    failing = false;
    store(Integer.MAX_VALUE);
    report();
    if (tamper != Tamper.HEARS_OF_NO_FAILED_DISK) {
      listener.ifPresent(JournalListener::recovered);
    }
  }

  private void store(int most) {
    for (int group = 0; group < most && !pending.isEmpty(); group++) {
      for (Entry entry : pending.remove()) {
        stored.add(entry);
        pendingEntries--;
        if (entry.topic().isPresent()) {
          outbox.add(entry.seq());
        }
      }
    }
    answers.forEach(
        (seq, refusal) -> {
          outbox.remove(seq);
          refusal.ifPresent(why -> aside.put(seq, why));
        });
    answers.clear();
  }

  private void report() {
    if (lastSeq() > reported) {
      reported = lastSeq();
      if (tamper != Tamper.TAKES_APPENDED_FOR_SYNCED) {
        listener.ifPresent(to -> to.durable(reported));
      }
    }
  }

  /** The process dies: what waits is gone, but for a transaction that was just being synced. */
  void crash() {
    if (!failing && random.nextInt(3) == 0) {
      store(random.nextInt(3));
    }
    pending.clear();
    pendingEntries = 0;
    answers.clear();
    failing = false;
    if (tamper == Tamper.LOSES_SYNCED && stored.size() > 12) {
      int last = stored.size() - 1;
      while (last > 0 && stored.get(last).cause() != stored.get(last).seq()) {
        last--;
      }
      stored.subList(last, stored.size()).clear();
      outbox.removeIf(seq -> seq > stored.size());
    }
    appended = lastSeq();
    reported = lastSeq();
    listener = Optional.empty();
  }

  @Override
  public List<Entry> next(long afterSeq, int max) {
    List<Entry> rows = new ArrayList<>();
    for (long seq : outbox.tailSet(afterSeq, false)) {
      if (rows.size() == max) {
        return rows;
      }
      if (answers.containsKey(seq)) {
        continue;
      }
      if (tamper == Tamper.SKIPS_OUTBOX_ROW && ++given % 19 == 0) {
        answers.put(seq, Optional.empty());
        continue;
      }
      rows.add(stored.get((int) seq - 1));
    }
    if (tamper == Tamper.PUBLISHES_UNSYNCED) {
      pending.forEach(
          group ->
              group.stream()
                  .filter(e -> e.topic().isPresent() && e.seq() > afterSeq)
                  .filter(e -> !answers.containsKey(e.seq()))
                  .forEach(rows::add));
    }
    return rows;
  }

  @Override
  public void acknowledged(long seq) {
    answers.put(seq, Optional.empty());
  }

  @Override
  public void setAside(long seq, String why) {
    answers.put(seq, tamper == Tamper.FORGETS_REFUSED_ROW ? Optional.empty() : Optional.of(why));
  }

  @Override
  public long waiting() {
    return outbox.size();
  }

  @Override
  public void awaitWork(long millis) {
    // Nobody waits here.
  }

  @Override
  public String journalId() {
    return "simulated";
  }

  @Override
  public long lastSeq() {
    return stored.size();
  }

  @Override
  public List<Entry> read(long fromSeq, int max) {
    int from = (int) Math.min(stored.size(), fromSeq - 1);
    return List.copyOf(stored.subList(from, Math.min(stored.size(), from + max)));
  }

  @Override
  public Map<String, Long> lastSeqPerTopic() {
    Map<String, Long> last = new HashMap<>();
    stored.forEach(e -> e.topic().ifPresent(topic -> last.put(topic, e.seq())));
    return last;
  }

  @Override
  public Optional<String> text(String name) {
    return Optional.empty();
  }

  @Override
  public void close() {
    // Nothing is open.
  }
}
