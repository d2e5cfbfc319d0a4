package org.borewarden.rules.engine;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.judge.Piece;
import org.borewarden.rules.reading.PartContext;

/**
 * What is remembered of a feature over a shift.
 *
 * @param counts what is pending and what was cut
 * @param before the counts before the last bore, so that it can be taken back
 * @param next what the next bore is, where a person said so
 * @param batch the batch that is cut, or the last one where it is closed
 * @param concessions other limits for named parts
 * @param recent the last bores whose serial can be corrected or that can be reworked, oldest first
 * @param challenged when a challenge piece was last seen as what it is, or first asked for; absent
 *     where the rules ask for none
 */
record ShiftState(
    Counts counts,
    Counts before,
    Optional<Piece> next,
    Optional<Batch> batch,
    List<Concession> concessions,
    List<Recent> recent,
    Optional<Instant> challenged) {
  /** The bores that are remembered; the oldest goes when one more comes. */
  static final int RECENT = 50;

  /** The concessions of a feature; more are refused. */
  static final int MOST_CONCESSIONS = 100;

  static final ShiftState NONE =
      new ShiftState(
          Counts.NONE,
          Counts.NONE,
          Optional.empty(),
          Optional.empty(),
          List.of(),
          List.of(),
          Optional.empty());

  ShiftState {
    concessions = List.copyOf(concessions);
    recent = List.copyOf(recent);
  }

  /**
   * What is counted.
   *
   * @param firstOffs the bores that must still lie in the zone; 0 where no first-off is pending
   * @param partsCut the parts finished since it became pending
   * @param sinceBore the parts finished since the last bore
   * @param sinceAsked those finished since something else asked for a bore; empty where nothing did
   */
  record Counts(int firstOffs, int partsCut, int sinceBore, OptionalInt sinceAsked) {
    static final Counts NONE = new Counts(0, 0, 0, OptionalInt.empty());

    private static final int MOST = 1_000_000;

    Counts cut(int parts) {
      return new Counts(
          firstOffs,
          firstOffs > 0 ? Math.min(MOST, partsCut + parts) : 0,
          Math.min(MOST, sinceBore + parts),
          sinceAsked.isPresent()
              ? OptionalInt.of(Math.min(MOST, sinceAsked.getAsInt() + parts))
              : sinceAsked);
    }

    Counts asked() {
      return new Counts(firstOffs, partsCut, sinceBore, OptionalInt.of(0));
    }

    Counts measured() {
      return new Counts(firstOffs, partsCut, 0, OptionalInt.empty());
    }

    Counts pending(int bores, int cutSoFar) {
      return new Counts(bores, cutSoFar, sinceBore, sinceAsked);
    }
  }

  /**
   * A batch.
   *
   * @param name its name
   * @param closed whether somebody said that it is at its end
   */
  record Batch(String name, boolean closed) {}

  /**
   * A bore that was judged.
   *
   * @param seq the seq of its verdict
   * @param part its part's number
   * @param context what was said of the part
   * @param ofThisRun whether it was cut now; false for a reworked part
   */
  record Recent(long seq, long part, PartContext context, boolean ofThisRun) {}

  ShiftState withCounts(Counts other) {
    return new ShiftState(other, before, next, batch, concessions, recent, challenged);
  }

  ShiftState withNext(Optional<Piece> other) {
    return new ShiftState(counts, before, other, batch, concessions, recent, challenged);
  }

  ShiftState withBatch(Batch other) {
    return new ShiftState(
        counts, before, next, Optional.of(other), concessions, recent, challenged);
  }

  ShiftState withConcessions(List<Concession> others) {
    return new ShiftState(counts, before, next, batch, others, recent, challenged);
  }

  ShiftState withRecent(List<Recent> others) {
    return new ShiftState(counts, before, next, batch, concessions, others, challenged);
  }

  ShiftState withChallenged(Optional<Instant> at) {
    return new ShiftState(counts, before, next, batch, concessions, recent, at);
  }

  /** A bore was judged; the counts before it are kept for a discard. */
  ShiftState judged(Counts after, Recent bore) {
    return new ShiftState(after, counts, next, batch, concessions, more(bore), challenged);
  }

  /** A reworked part was judged: it counts nothing. */
  ShiftState judgedAside(Recent bore) {
    return new ShiftState(
        counts, before, Optional.empty(), batch, concessions, more(bore), challenged);
  }

  private List<Recent> more(Recent bore) {
    List<Recent> more = new ArrayList<>(recent);
    more.add(bore);
    return more.subList(Math.max(0, more.size() - RECENT), more.size());
  }

  Optional<Recent> newest() {
    return recent.isEmpty() ? Optional.empty() : Optional.of(recent.get(recent.size() - 1));
  }

  /** The newest of a part that was cut now. */
  Optional<Recent> newestOfThisRun() {
    for (int i = recent.size() - 1; i >= 0; i--) {
      if (recent.get(i).ofThisRun()) {
        return Optional.of(recent.get(i));
      }
    }
    return Optional.empty();
  }

  Optional<Recent> recent(long seq) {
    return recent.stream().filter(bore -> bore.seq() == seq).findFirst();
  }
}
