package org.borewarden.agent.payload;

import java.util.Locale;
import java.util.Optional;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.Feature;

/**
 * A verdict without a number; topic {@code verdict/<feature>}.
 *
 * @param feature the feature
 * @param partNumber the part number that it belongs to
 * @param part the part's number in cutting order
 * @param verdict undersize, within or oversize
 * @param disposition what may become of a part that is out of limit
 * @param found what a person found
 * @param why what he said
 * @param by who
 * @param gauge the gauge of the feature
 * @param context what was said of the part
 */
record AttributePayload(
    String feature,
    String partNumber,
    long part,
    String verdict,
    Optional<String> disposition,
    String found,
    String why,
    String by,
    String gauge,
    Optional<ContextPayload> context) {

  static AttributePayload of(Decision.AttributeJudged judged) {
    Feature feature = judged.feature();
    return new AttributePayload(
        feature.id(),
        feature.part(),
        judged.part(),
        judged.verdict().key(),
        disposition(feature, judged.verdict()),
        word(judged.found()),
        judged.reason(),
        judged.by(),
        feature.gauge(),
        ContextPayload.of(judged.context()));
  }

  private static Optional<String> disposition(Feature feature, Verdict verdict) {
    return switch (verdict) {
      case UNDERSIZE -> Optional.of(word(feature.undersize().disposition()));
      case OVERSIZE -> Optional.of(word(feature.oversize().disposition()));
      case WITHIN, UNDECIDED_LOW, UNDECIDED_HIGH, WITHHELD, CONFIRMING -> Optional.empty();
    };
  }

  private static String word(Enum<?> value) {
    return value.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
