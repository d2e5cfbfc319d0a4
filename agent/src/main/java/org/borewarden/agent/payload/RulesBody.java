package org.borewarden.agent.payload;

import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;

/**
 * Rules that came into force. Their text is kept beside the journal; the cell of each feature is
 * kept here, because a feature that names none gets the only cell of the config of that day.
 *
 * @param revision names the text
 * @param cells feature to cell
 */
record RulesBody(String revision, Map<String, String> cells) {
  RulesBody {
    cells = Map.copyOf(cells);
  }

  static RulesBody of(RuleSet rules) {
    Map<String, String> cells = new TreeMap<>();
    rules.features().forEach(f -> f.cell().ifPresent(cell -> cells.put(f.id(), cell)));
    return new RulesBody(rules.revision(), cells);
  }

  RuleSet rules(Function<String, RuleSet> texts) {
    RuleSet written = texts.apply(revision);
    return written.withFeatures(written.features().stream().map(this::withCell).toList());
  }

  private Feature withCell(Feature feature) {
    return feature.withCell(java.util.Optional.ofNullable(cells.get(feature.id())));
  }
}
