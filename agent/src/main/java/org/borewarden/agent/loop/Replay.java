package org.borewarden.agent.loop;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.util.ArrayList;
import java.util.List;
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
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Rebuilds the engine's state from the journal by the same fold as at run time: from the newest
 * snapshot that this agent can read, or else from the first entry.
 */
public final class Replay {
  private static final Logger LOG = LoggerFactory.getLogger(Replay.class);
  private static final int PAGE = 1000;

  private final Function<String, RuleSet> rules;
  private final long snapshotSeq;
  private final PastTimers timers;
  private State state;
  private long lastSeq;
  private boolean clean;
  private boolean faulted;

  private Replay(Function<String, RuleSet> rules, long seq, Standing from) {
    this.rules = rules;
    this.snapshotSeq = seq;
    this.lastSeq = seq;
    this.state = from.state();
    this.timers = new PastTimers(from.timers());
    this.clean = from.clean();
    this.faulted = from.faulted();
  }

  /**
   * What the journal gives at a start.
   *
   * @param state the state after its last event
   * @param lastSeq the last seq in use
   * @param clean whether the run before ended on request and without a fault of our own, or there
   *     was none
   * @param timers the timers that stand
   * @param snapshotSeq the entry from which the fold went on; 0 for the first
   * @param forgot whether what happened before can no longer be told: the first entries are gone
   *     and no snapshot can be read; then the state is the initial one and the start is not clean
   */
  public record Replayed(
      State state,
      long lastSeq,
      boolean clean,
      List<PastTimer> timers,
      long snapshotSeq,
      boolean forgot) {
    /** Copies the list. */
    public Replayed {
      timers = List.copyOf(timers);
    }

    /**
     * What a journal gives that was folded from its first entry.
     *
     * @param state the state after its last event
     * @param lastSeq the last seq in use
     * @param clean whether the run before ended in order
     * @param timers the timers that stand
     */
    public Replayed(State state, long lastSeq, boolean clean, List<PastTimer> timers) {
      this(state, lastSeq, clean, timers, 0, false);
    }
  }

  /**
   * Folds the journal.
   *
   * @param journal the journal
   * @param rules gives the rules of a revision whose text the journal keeps
   * @return the state and where it stands
   * @throws JournalException when the journal cannot be read, or an entry is not what it says
   */
  public static Replayed fold(JournalView journal, Function<String, RuleSet> rules)
      throws JournalException {
    List<Replay> begun = new ArrayList<>();
    for (Snapshot snapshot : journal.snapshots()) {
      if (begun.isEmpty() && readable(snapshot)) {
        addIfRead(begun, snapshot, rules);
      }
    }
    if (begun.isEmpty() && journal.firstSeq() > 1) {
      LOG.error(
          "the entries before {} are retired and no snapshot can be read: what the agent knew is"
              + " lost, the start counts as unclean",
          journal.firstSeq());
      return new Replayed(State.initial(), journal.lastSeq(), false, List.of(), 0, true);
    }
    Replay replay = begun.isEmpty() ? new Replay(rules, 0, Standing.INITIAL) : begun.get(0);
    return replay.run(journal);
  }

  private static boolean readable(Snapshot snapshot) {
    boolean ours = snapshot.layout().equals(Standing.LAYOUT);
    if (!ours) {
      LOG.info(
          "the snapshot at entry {} has the layout {}, this agent knows {}: it is passed over",
          snapshot.seq(),
          snapshot.layout(),
          Standing.LAYOUT);
    }
    return ours;
  }

  private static void addIfRead(
      List<Replay> begun, Snapshot snapshot, Function<String, RuleSet> rules) {
    try {
      begun.add(new Replay(rules, snapshot.seq(), Standing.read(snapshot.body())));
    } catch (JsonProcessingException e) {
      LOG.warn(
          "the snapshot at entry {} cannot be read and is passed over: {}",
          snapshot.seq(),
          e.getOriginalMessage());
    }
  }

  private Replayed run(JournalView journal) throws JournalException {
    List<Entry> page = journal.read(lastSeq + 1, PAGE);
    while (!page.isEmpty()) {
      for (Entry entry : page) {
        take(entry);
      }
      page = journal.read(lastSeq + 1, PAGE);
    }
    return new Replayed(state, lastSeq, clean, timers.list(), snapshotSeq, false);
  }

  private void take(Entry entry) throws JournalException {
    lastSeq = entry.seq();
    if (!EventCodec.isEvent(entry.kind())) {
      return;
    }
    Event event = event(entry);
    if (event instanceof Event.AgentStarted) {
      faulted = false;
    }
    Stamped stamped = new Stamped(entry.seq(), entry.at(), event);
    Step step = Boundary.step(state, stamped, e -> faulted = true);
    state = step.next();
    clean = event instanceof Event.AgentStopped && !faulted;
    timers.take(stamped, step);
  }

  private Event event(Entry entry) throws JournalException {
    try {
      return EventCodec.decode(entry.kind(), entry.body(), rules);
    } catch (JsonProcessingException | IllegalArgumentException e) {
      throw new JournalException(
          "reading journal entry " + entry.seq() + " (" + entry.kind() + ")", e);
    }
  }
}
