package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;

/** Payloads as text that a person can read in a Java text. */
final class Quoted {
  private Quoted() {}

  static String body(Event event) {
    return quoted(EventCodec.encode(event).body());
  }

  static String body(Decision decision) {
    return quoted(DecisionCodec.encode(decision).body());
  }

  /** JSON that a person can read in a Java text; none of it has an apostrophe of its own. */
  static String quoted(String json) {
    assertThat(json).doesNotContain("'");
    return json.replace('"', '\'');
  }
}
