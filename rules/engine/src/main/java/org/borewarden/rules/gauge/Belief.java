package org.borewarden.rules.gauge;

import java.util.Locale;
import java.util.Optional;

/** Whether a gauge that is checked on a ring may be believed. */
public enum Belief {
  /** Never checked, or something happened to it since. */
  UNKNOWN(Optional.of("gauge-not-checked")),
  /** Its last check was good. */
  GOOD(Optional.empty()),
  /** A check failed; the checks that follow decide. */
  SUSPECT(Optional.of("gauge-suspect")),
  /** The checks that followed the failed one failed too: it must be set to its ring anew. */
  FAILED(Optional.of("gauge-failed"));

  private final Optional<String> doubt;

  Belief(Optional<String> doubt) {
    this.doubt = doubt;
  }

  /**
   * The word in payloads.
   *
   * @return lower case
   */
  public String key() {
    return name().toLowerCase(Locale.ROOT);
  }

  /**
   * Why its readings may not be believed.
   *
   * @return a key for the cautions of a verdict; empty where they may
   */
  public Optional<String> doubt() {
    return doubt;
  }
}
