package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.judge.Conformity;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Party;
import org.borewarden.rules.uncertainty.Uncertainty;

/**
 * On what a verdict rests, where an uncertainty is stated; in the unit of the verdict.
 *
 * @param u the standard uncertainty of the judged size
 * @param expanded U
 * @param k U / u
 * @param guardLower how far inside the lower limit a size must lie to be within
 * @param guardUpper how far inside the upper one
 * @param at the probability that is asked for, where the rule is proven
 * @param party for whom it is judged: supplier or customer
 * @param may what that one may do with the bore by his own uncertainty: ship or reject
 * @param conformityWithPrior the probability of conformity where it is stated how the process
 *     spreads; beside the verdict, which does not look at it
 */
record ProofPayload(
    BigDecimal u,
    BigDecimal expanded,
    double k,
    Optional<BigDecimal> guardLower,
    Optional<BigDecimal> guardUpper,
    OptionalDouble at,
    String party,
    Optional<String> may,
    OptionalDouble conformityWithPrior) {

  static Optional<ProofPayload> of(Decision.BoreJudged judged) {
    return judged.judgement().rule().stated().map(u -> of(judged, u));
  }

  private static ProofPayload of(Decision.BoreJudged judged, Uncertainty stated) {
    Judgement judgement = judged.judgement();
    Feature feature = judged.feature();
    Unit unit = judged.bore().unit();
    Party party = feature.assurance().party();
    return new ProofPayload(
        Size.whole(stated.standard(), unit, 0),
        Size.whole(stated.expanded(), unit, 0),
        stated.k(),
        band(judgement.acceptance().lower(), judgement.limits().lower(), unit),
        band(judgement.limits().upper(), judgement.acceptance().upper(), unit),
        judgement.rule() instanceof DecisionRule.Proven proven
            ? OptionalDouble.of(proven.probability())
            : OptionalDouble.empty(),
        party.key(),
        may(party, judgement.verdict()),
        feature.assurance().prior().stream()
            .mapToDouble(
                prior ->
                    Conformity.withPrior(
                        judgement.limits(), judged.bore().value(), stated.standard(), prior))
            .findFirst());
  }

  private static Optional<BigDecimal> band(
      Optional<Length> upper, Optional<Length> lower, Unit unit) {
    return upper.flatMap(u -> lower.map(l -> Size.whole(u.minus(l), unit, 0)));
  }

  private static Optional<String> may(Party party, Verdict verdict) {
    return switch (party) {
      case SUPPLIER -> verdict == Verdict.WITHIN ? Optional.of("ship") : Optional.empty();
      case CUSTOMER -> verdict.isOut() ? Optional.of("reject") : Optional.empty();
    };
  }
}
