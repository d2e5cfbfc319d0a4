package org.borewarden.rules.judge;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Limits;

/**
 * A bore against its limits.
 *
 * @param verdict the word
 * @param also the other side, for a bore that is too small and too large at once
 * @param inside whether the value itself lies inside the limits, the limits included
 * @param conformity the probability of conformity, where an uncertainty is stated
 * @param limits the limits of size
 * @param acceptance the values that are within: the limits moved inward by the guard band; without
 *     ends where no value can be accepted
 * @param rule the decision rule
 * @param cautions keys of what to know beside it, such as {@code no-uncertainty-stated}
 */
public record Judgement(
    Verdict verdict,
    Optional<Verdict> also,
    boolean inside,
    OptionalDouble conformity,
    Limits limits,
    AcceptanceZone acceptance,
    DecisionRule rule,
    List<String> cautions) {
  /** Copies the list. */
  public Judgement {
    cautions = List.copyOf(cautions);
  }

  /**
   * The same with a caution more.
   *
   * @param caution its key
   * @return a judgement that differs in its cautions only
   */
  public Judgement withCaution(String caution) {
    List<String> more = new ArrayList<>(cautions);
    more.add(caution);
    return new Judgement(verdict, also, inside, conformity, limits, acceptance, rule, more);
  }
}
