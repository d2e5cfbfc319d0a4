package org.borewarden.agent.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** The verdict that an order is about, where it need not be the last one. */
final class VerdictOption {
  @Option(
      names = "--seq",
      paramLabel = "SEQ",
      description = "The seq of the verdict; the last one where it is left out.")
  private @Nullable Long seq;

  VerdictOption() {}

  void putIn(ObjectNode order) {
    if (seq != null) {
      order.put("seq", seq);
    }
  }
}
