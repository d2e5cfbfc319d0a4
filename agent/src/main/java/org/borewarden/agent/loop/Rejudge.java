package org.borewarden.agent.loop;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.function.Function;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.journal.Snapshot;
import org.borewarden.agent.payload.EventCodec;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.part.RuleSet;

/**
 * Derives every decision of a journal again, from its events and the rules texts that it keeps, and
 * compares each with what was written: kind, topic, rules revision and body, to the last byte.
 */
public final class Rejudge {
  private static final int PAGE = 1000;

  private final Function<String, RuleSet> rules;
  private final Consumer<Turn> hears;
  private final Recorder recorder = new Recorder(Map.of());
  private final ArrayDeque<Entry> expected = new ArrayDeque<>();
  private State state;
  private long seq;
  private long events;
  private long decisions;
  private long differences;
  private Optional<String> first = Optional.empty();

  private Rejudge(Function<String, RuleSet> rules, Consumer<Turn> hears, long seq, State state) {
    this.rules = rules;
    this.hears = hears;
    this.seq = seq;
    this.state = state;
  }

  /**
   * What came of it.
   *
   * @param fromSeq the first entry that was looked at
   * @param lastSeq the last one
   * @param events the events that were taken
   * @param decisions the decisions that were compared
   * @param differences decisions that are other than written, missing or too many
   * @param first the first of them, in words
   */
  public record Rejudged(
      long fromSeq,
      long lastSeq,
      long events,
      long decisions,
      long differences,
      Optional<String> first) {}

  /**
   * Judges a journal again: from its first entry, or where the first ones are retired, from the
   * oldest snapshot that can be read.
   *
   * @param journal the journal
   * @param rules gives the rules of a revision whose text the journal keeps
   * @return what came of it
   * @throws JournalException when it cannot be read, or there is nothing to begin from
   */
  public static Rejudged run(JournalView journal, Function<String, RuleSet> rules)
      throws JournalException {
    return run(journal, rules, turn -> {});
  }

  /**
   * Judges a journal again, and tells each turn as it was.
   *
   * @param journal the journal
   * @param rules gives the rules of a revision whose text the journal keeps
   * @param hears hears each event with what follows from it, in order
   * @return what came of it
   * @throws JournalException when it cannot be read, or there is nothing to begin from
   */
  public static Rejudged run(
      JournalView journal, Function<String, RuleSet> rules, Consumer<Turn> hears)
      throws JournalException {
    Rejudge again =
        journal.firstSeq() == 1
            ? new Rejudge(rules, hears, 0, State.initial())
            : begin(journal, rules, hears);
    long from = again.seq + 1;
    List<Entry> page = journal.read(from, PAGE);
    while (!page.isEmpty()) {
      for (Entry entry : page) {
        again.take(entry);
      }
      page = journal.read(again.seq + 1, PAGE);
    }
    again.nothingMore();
    return new Rejudged(
        from, again.seq, again.events, again.decisions, again.differences, again.first);
  }

  private static Rejudge begin(
      JournalView journal, Function<String, RuleSet> rules, Consumer<Turn> hears)
      throws JournalException {
    List<Snapshot> oldestFirst = new ArrayList<>(journal.snapshots());
    Collections.reverse(oldestFirst);
    for (Snapshot snapshot : oldestFirst) {
      if (snapshot.layout().equals(Standing.LAYOUT)) {
        try {
          return new Rejudge(rules, hears, snapshot.seq(), Standing.read(snapshot.body()).state());
        } catch (JsonProcessingException e) {
          throw new JournalException("reading the snapshot at entry " + snapshot.seq(), e);
        }
      }
    }
    throw new JournalException(
        "the entries before "
            + journal.firstSeq()
            + " are retired and this version can read no snapshot: nothing to judge from");
  }

  private void take(Entry entry) throws JournalException {
    if (EventCodec.isEvent(entry.kind())) {
      nothingMore();
      judge(entry);
    } else {
      compare(entry);
    }
    seq = entry.seq();
  }

  private void judge(Entry entry) throws JournalException {
    events++;
    Event event;
    try {
      event = EventCodec.decode(entry.kind(), entry.body(), rules);
    } catch (JsonProcessingException | IllegalArgumentException e) {
      throw new JournalException(
          "reading journal entry " + entry.seq() + " (" + entry.kind() + ")", e);
    }
    Stamped stamped = new Stamped(entry.seq(), entry.at(), event);
    Step step = Boundary.step(state, stamped, e -> {});
    state = step.next();
    Turn turn = new Turn(stamped, step, state.rulesRevision());
    hears.accept(turn);
    List<Entry> entries = recorder.entries(turn);
    expected.addAll(entries.subList(1, entries.size()));
  }

  private void compare(Entry entry) {
    decisions++;
    Optional<Entry> again = Optional.ofNullable(expected.poll());
    if (again.isEmpty()) {
      differs(entry.seq(), "written " + entry.kind() + ", derived nothing");
    } else if (!same(again.get(), entry)) {
      differs(
          entry.seq(),
          "written "
              + entry.kind()
              + " "
              + entry.body()
              + ", derived "
              + again.get().kind()
              + " "
              + again.get().body());
    }
  }

  private static boolean same(Entry a, Entry b) {
    return a.seq() == b.seq()
        && a.cause() == b.cause()
        && a.kind().equals(b.kind())
        && a.topic().equals(b.topic())
        && a.rules().equals(b.rules())
        && a.body().equals(b.body());
  }

  private void nothingMore() {
    while (!expected.isEmpty()) {
      Entry missing = expected.remove();
      differs(missing.seq(), "written nothing, derived " + missing.kind());
    }
  }

  private void differs(long at, String what) {
    differences++;
    if (first.isEmpty()) {
      first = Optional.of("entry " + at + ": " + what);
    }
  }
}
