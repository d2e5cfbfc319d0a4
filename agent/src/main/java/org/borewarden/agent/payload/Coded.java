package org.borewarden.agent.payload;

import java.util.Optional;

/**
 * An event or a decision as it goes into the journal.
 *
 * @param kind what it is, such as {@code reading-taken}
 * @param topic the record topic below the root; empty for what stays in the journal
 * @param body a JSON object
 */
public record Coded(String kind, Optional<String> topic, String body) {
  static Coded kept(String kind, Object body) {
    return new Coded(kind, Optional.empty(), Json.write(body));
  }

  static Coded published(String kind, String topic, Object body) {
    return new Coded(kind, Optional.of(topic), Json.write(body));
  }
}
