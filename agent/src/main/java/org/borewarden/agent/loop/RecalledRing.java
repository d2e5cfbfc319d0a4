package org.borewarden.agent.loop;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.gauge.LoggedBore;
import org.borewarden.rules.gauge.RingRecall;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RuleSet;

/**
 * Judges the bores of a journal again whose gauge rested on a ring that turned out to have had
 * another size than was certified.
 */
public final class RecalledRing {
  private final String ring;
  private final Instant since;
  private final TreeMap<Length, List<LoggedBore>> bores = new TreeMap<>();
  private final Set<Long> discarded = new HashSet<>();

  private RecalledRing(String ring, Instant since) {
    this.ring = ring;
    this.since = since;
  }

  /**
   * The bores of one certified size of the ring: a new certificate begins another list.
   *
   * @param certified the size that was believed
   * @param bores how many rested on it
   * @param changed those whose verdict changes
   */
  public record Believed(Length certified, long bores, List<SuspectWindow.Suspect> changed) {
    /** Copies the list. */
    public Believed {
      changed = List.copyOf(changed);
    }
  }

  /**
   * What came of it.
   *
   * @param believed by certified size
   * @param again what came of judging the journal again, on which the list rests
   */
  public record Recalled(List<Believed> believed, Rejudge.Rejudged again) {
    /** Copies the list. */
    public Recalled {
      believed = List.copyOf(believed);
    }
  }

  /**
   * Judges a journal's bores again.
   *
   * @param journal the journal
   * @param rules gives the rules of a revision whose text the journal keeps
   * @param ring the ring
   * @param since bores that were judged before this are left out
   * @param truly the size that the ring had
   * @return what came of it
   * @throws JournalException when it cannot be read, or there is nothing to begin from
   */
  public static Recalled in(
      JournalView journal,
      Function<String, RuleSet> rules,
      String ring,
      Instant since,
      Length truly)
      throws JournalException {
    RecalledRing recalled = new RecalledRing(ring, since);
    Rejudge.Rejudged again = Rejudge.run(journal, rules, recalled::hear);
    List<Believed> believed = new ArrayList<>();
    recalled.bores.forEach(
        (certified, all) -> {
          all.removeIf(bore -> recalled.discarded.contains(bore.seq()));
          believed.add(
              new Believed(certified, all.size(), RingRecall.judge(all, certified, truly)));
        });
    return new Recalled(believed, again);
  }

  private void hear(Turn turn) {
    for (int i = 0; i < turn.decisions().size(); i++) {
      Decision decision = turn.decisions().get(i);
      if (decision instanceof Decision.BoreDiscarded gone) {
        discarded.add(gone.seq());
      } else if (decision instanceof Decision.BoreJudged judged && counts(turn, judged)) {
        LoggedBore bore = logged(turn, judged, i);
        certified(turn)
            .ifPresent(size -> bores.computeIfAbsent(size, s -> new ArrayList<>()).add(bore));
      }
    }
  }

  private boolean counts(Turn turn, Decision.BoreJudged judged) {
    Verdict verdict = judged.judgement().verdict();
    return rested(judged.bore())
        && verdict != Verdict.WITHHELD
        && verdict != Verdict.CONFIRMING
        && !turn.event().at().isBefore(since);
  }

  private boolean rested(Bore bore) {
    return bore.trace().filter(trace -> trace.ring().equals(ring)).isPresent();
  }

  private Optional<Length> certified(Turn turn) {
    return turn.state().rules().flatMap(rules -> rules.ring(ring)).map(Ring::size);
  }

  private static LoggedBore logged(Turn turn, Decision.BoreJudged judged, int index) {
    Bore bore = judged.bore();
    return new LoggedBore(
        turn.seqOf(index),
        turn.event().at(),
        bore.feature(),
        bore.part(),
        bore.context().serial(),
        bore.judged(),
        judged.feature().nominal(),
        Acceptance.of(judged.judgement().limits(), judged.judgement().rule()),
        judged.judgement().verdict(),
        false);
  }
}
