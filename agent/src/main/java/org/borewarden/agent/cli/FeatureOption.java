package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import picocli.CommandLine.Option;

/** The feature that an order is about. */
final class FeatureOption {
  @Option(
      names = "--feature",
      paramLabel = "FEATURE",
      required = true,
      description = "The feature.")
  private String feature = "";

  FeatureOption() {}

  void putIn(ObjectNode order) {
    order.put("feature", feature);
  }
}
