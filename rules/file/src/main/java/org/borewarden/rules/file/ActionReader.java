package org.borewarden.rules.file;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Action.Level;
import org.borewarden.rules.part.Feature.Disposition;
import org.borewarden.rules.part.Feature.OutOfLimit;
import org.borewarden.rules.part.StopKind;

/** Reads what a finding does. */
final class ActionReader {
  private ActionReader() {}

  /** The keys action, stop and watch-only-until of one mapping. */
  static Action action(Fields fields, Level usual) {
    Level level = fields.orElse("action", words(Level.values()), usual);
    if (level == Level.HOLD) {
      return hold(fields);
    }
    for (String key : new String[] {"stop", "watch-only-until"}) {
      if (fields.has(key)) {
        fields.refuse(key, "expected no " + key + " where the action is " + word(level));
      }
    }
    return weaker(level);
  }

  /** A finding that touches no permit. */
  static Action weaker(Level level) {
    return new Action(level, StopKind.END_OF_PART, Optional.empty());
  }

  /** The keys stop and watch-only-until of a mapping whose finding is a hold. */
  static Action hold(Fields fields) {
    StopKind kind = fields.orElse("stop", words(StopKind.values()), StopKind.END_OF_PART);
    return new Action(Level.HOLD, kind, fields.optional("watch-only-until", Scalars.date()));
  }

  static OutOfLimit outOfLimit(Fields feature, String side, Disposition usual) {
    OutOfLimit fallback =
        new OutOfLimit(usual, new Action(Level.HOLD, StopKind.END_OF_PART, Optional.empty()));
    return feature
        .item(side)
        .flatMap(item -> Fields.open(item, RulesKeys.OUT_OF_LIMIT))
        .map(
            fields ->
                new OutOfLimit(
                    fields.orElse("disposition", words(Disposition.values()), usual),
                    action(fields, Level.HOLD)))
        .orElse(fallback);
  }

  private static <E extends Enum<E>> Reader<E> words(E[] values) {
    return Scalars.word(Arrays.asList(values), ActionReader::word);
  }

  /** The word of a constant in files: {@code NEXT_SAFE_POINT} is {@code next-safe-point}. */
  static String word(Enum<?> constant) {
    return constant.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
