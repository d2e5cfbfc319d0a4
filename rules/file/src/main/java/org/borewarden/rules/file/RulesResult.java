package org.borewarden.rules.file;

import java.util.List;
import org.borewarden.rules.file.yaml.Places;
import org.borewarden.rules.part.RuleSet;

/**
 * What a good rules file gives.
 *
 * @param rules what it says
 * @param understood the same in words, feature by feature, for a person to compare with the drawing
 * @param places where its values stand, for checks against agent.yaml
 */
public record RulesResult(RuleSet rules, List<String> understood, Places places) {
  /** Copies the list. */
  public RulesResult {
    understood = List.copyOf(understood);
  }
}
