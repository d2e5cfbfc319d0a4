package org.borewarden.rules.part;

import java.util.List;
import java.util.Optional;

/**
 * What a rules file says, valid by construction.
 *
 * @param revision names the text: the first 12 hex digits of its SHA-256
 * @param features the features, in the file's order
 */
public record RuleSet(String revision, List<Feature> features) {
  /**
   * Copies the list and checks that ids and numbers are unique.
   *
   * @throws IllegalArgumentException when two features share an id or a number
   */
  public RuleSet {
    features = List.copyOf(features);
    Check.unique("feature", features.stream().map(Feature::id).toList());
    Check.unique("feature number", features.stream().map(Feature::number).toList());
  }

  /**
   * The feature that a gauge's input measures.
   *
   * @param gauge the gauge's id
   * @param input the input that the frame names, if any
   * @return the feature, or empty where the reading has no known feature
   */
  public Optional<Feature> measuredBy(String gauge, Optional<String> input) {
    return features.stream()
        .filter(f -> f.gauge().equals(gauge) && (f.input().isEmpty() || f.input().equals(input)))
        .findFirst();
  }
}
