package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Limits;

/**
 * One judged bore; topic {@code verdict/<feature>}.
 *
 * @param feature the feature
 * @param partNumber the part number that it belongs to
 * @param part its place in cutting order
 * @param verdict the word
 * @param also the other side, for a bore that is too small and too large at once
 * @param disposition what may become of an out-of-limit part
 * @param inside whether the value itself lies inside the limits
 * @param conformity the probability of conformity, where an uncertainty is stated
 * @param risk 1 - conformity
 * @param value the size in the gauge's unit, with the reading's digits, or more where the size and
 *     a limit would print alike and the bore is not within
 * @param unit the unit of every size in this payload
 * @param pm the size, exact, in picometres
 * @param deviation the size less the nominal size
 * @param lower the lower limit
 * @param upper the upper limit
 * @param acceptLower the lower acceptance limit that was used
 * @param acceptUpper the upper acceptance limit that was used
 * @param rule simple, guard or proven
 * @param proof on what the verdict rests, where an uncertainty is stated
 * @param gauge the gauge
 * @param readings the seqs of its readings
 * @param plan how its readings combine, where it has more than one
 * @param form its form against the limits of form
 * @param rests on what the gauge's word rests, where it is checked on a ring
 * @param piece what its part is, where it is not simply the next one of the run
 * @param sizeClass its size class for selective fits
 * @param concession what a concession says of it
 * @param cautions what to know beside it
 * @param context what was said of the part
 */
record VerdictPayload(
    String feature,
    String partNumber,
    long part,
    String verdict,
    Optional<String> also,
    Optional<String> disposition,
    boolean inside,
    OptionalDouble conformity,
    OptionalDouble risk,
    BigDecimal value,
    String unit,
    long pm,
    BigDecimal deviation,
    Optional<BigDecimal> lower,
    Optional<BigDecimal> upper,
    Optional<BigDecimal> acceptLower,
    Optional<BigDecimal> acceptUpper,
    String rule,
    Optional<ProofPayload> proof,
    String gauge,
    List<Long> readings,
    Optional<PlacePayload.Plan> plan,
    Optional<List<PlacePayload.Shape>> form,
    Optional<PlacePayload.Rests> rests,
    Optional<BesidePayload.OfPiece> piece,
    Optional<String> sizeClass,
    Optional<BesidePayload.Granted> concession,
    List<String> cautions,
    Optional<ContextPayload> context) {
  VerdictPayload {
    readings = List.copyOf(readings);
    cautions = List.copyOf(cautions);
  }

  static VerdictPayload of(Decision.BoreJudged judged) {
    Feature feature = judged.feature();
    Bore bore = judged.bore();
    Judgement judgement = judged.judgement();
    int decimals = bore.decimals();
    return new VerdictPayload(
        feature.id(),
        feature.part(),
        bore.part(),
        judgement.verdict().key(),
        judgement.also().map(Verdict::key),
        disposition(feature, judgement.verdict()),
        judgement.inside(),
        judgement.conformity(),
        judgement.conformity().isPresent()
            ? OptionalDouble.of(1 - judgement.conformity().getAsDouble())
            : OptionalDouble.empty(),
        value(bore, judgement),
        bore.unit().symbol(),
        bore.value().picometres(),
        Size.in(bore.value().minus(feature.nominal()), bore.unit(), decimals),
        limit(judgement.limits().lower(), bore),
        limit(judgement.limits().upper(), bore),
        limit(judgement.acceptance().lower(), bore),
        limit(judgement.acceptance().upper(), bore),
        rule(judgement.rule()),
        ProofPayload.of(judged),
        feature.gauge(),
        bore.readings(),
        bore.measured().map(measured -> PlacePayload.Plan.of(measured, bore)),
        bore.measured()
            .filter(measured -> !measured.form().isEmpty())
            .map(m -> m.form().stream().map(f -> PlacePayload.Shape.of(f, bore.unit())).toList()),
        bore.trace().map(PlacePayload.Rests::of),
        judged.beside().piece().map(piece -> BesidePayload.OfPiece.of(piece, judged)),
        judged.beside().sizeClass(),
        judged.beside().conceded().map(c -> BesidePayload.Granted.of(c, bore)),
        cautions(bore, judgement),
        ContextPayload.of(bore.context()));
  }

  private static List<String> cautions(Bore bore, Judgement judgement) {
    List<String> cautions = new ArrayList<>(judgement.cautions());
    bore.measured().map(Measured::notes).ifPresent(cautions::addAll);
    return cautions;
  }

  /** The size and a limit must not print alike when the bore is not within (metrology 5). */
  private static BigDecimal value(Bore bore, Judgement judgement) {
    BigDecimal shown = Size.in(bore.value(), bore.unit(), bore.decimals());
    if (judgement.verdict() == Verdict.WITHIN) {
      return shown;
    }
    Limits limits = judgement.limits();
    boolean alike =
        limits.lower().map(l -> shown.compareTo(Size.whole(l, bore.unit(), 0)) == 0).orElse(false)
            || limits
                .upper()
                .map(l -> shown.compareTo(Size.whole(l, bore.unit(), 0)) == 0)
                .orElse(false);
    return alike ? Size.whole(bore.value(), bore.unit(), bore.decimals()) : shown;
  }

  private static Optional<BigDecimal> limit(
      Optional<org.borewarden.rules.measure.Length> limit, Bore bore) {
    return limit.map(l -> Size.whole(l, bore.unit(), bore.decimals()));
  }

  private static Optional<String> disposition(Feature feature, Verdict verdict) {
    return switch (verdict) {
      case UNDERSIZE -> Optional.of(word(feature.undersize().disposition()));
      case OVERSIZE -> Optional.of(word(feature.oversize().disposition()));
      case WITHIN, UNDECIDED_LOW, UNDECIDED_HIGH, WITHHELD, CONFIRMING -> Optional.empty();
    };
  }

  private static String word(Feature.Disposition disposition) {
    return disposition.name().toLowerCase(java.util.Locale.ROOT);
  }

  private static String rule(DecisionRule rule) {
    if (rule instanceof DecisionRule.Guard) {
      return "guard";
    }
    return rule instanceof DecisionRule.Proven ? "proven" : "simple";
  }
}
