package org.borewarden.rules.hold;

import java.util.Optional;

/** Puts a grant into a state that has none, as no input can. */
final class Tamper {
  private Tamper() {}

  static HoldState withGrant(HoldState s, Grant grant) {
    return new HoldState(
        s.phase(),
        s.kind(),
        s.number(),
        s.lastNumber(),
        s.revision(),
        s.causes(),
        s.conditions(),
        s.heard(),
        s.stopped(),
        s.fresh(),
        s.trial(),
        s.bypass(),
        s.bypassStarts(),
        Optional.of(grant),
        s.permitKept(),
        s.contain(),
        s.since(),
        s.by(),
        s.watchOnly());
  }
}
