package org.borewarden.rules.hold;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/** The machine as the walk drives it; the tampered ones are controls that must be found out. */
class Rig {
  /** A step between commits. */
  HoldStep step(HoldState state, HoldInput input) {
    return HoldMachine.step(state, input, 7, Cell4.AT);
  }

  /** A start after a stop that was not asked for. */
  HoldState powerCut(HoldState synced) {
    return step(synced, new HoldInput.Restarted(false)).next();
  }

  /** Kinds of voided grants whose records the commit that ends now holds. */
  HoldState syncVoided(HoldState live, Set<Grant.Kind> voided) {
    return live;
  }

  /** A grant goes out without a look at the revision. */
  static final class NoRevisionCheck extends Rig {
    @Override
    HoldState syncVoided(HoldState live, Set<Grant.Kind> voided) {
      HoldState state = live;
      for (Grant.Kind kind : voided) {
        if (givesTo(kind, state)) {
          HoldState forced = Tamper.withGrant(state, grant(kind, state));
          state = step(forced, new HoldInput.GrantSynced(forced.revision())).next();
        }
      }
      return state;
    }

    /** Leaves out what HoldState itself would refuse, so that the walk's own checks are tested. */
    private static boolean givesTo(Grant.Kind kind, HoldState state) {
      boolean waits =
          switch (state.phase()) {
            case STARTING, PERMITTED, NOT_READY, REQUESTED, HEARD -> true;
            case TRIAL, RELEASING, BYPASSED -> false;
          };
      return switch (kind) {
        case START, READY, RELEASE -> waits && state.conditions().isEmpty();
        case TRIAL -> waits && state.number() != 0 && state.phase() != Phase.STARTING;
        case BYPASS -> waits;
        case RESUME -> false;
      };
    }

    private static Grant grant(Grant.Kind kind, HoldState s) {
      Optional<Trial> trial =
          kind == Grant.Kind.TRIAL
              ? Optional.of(Trial.begin(Cell4.THREE_PARTS, "sam"))
              : Optional.empty();
      Optional<Bypass> bypass =
          kind == Grant.Kind.BYPASS
              ? Optional.of(new Bypass(List.of(), Cell4.AT.plus(Duration.ofMinutes(15)), "vera"))
              : Optional.empty();
      return new Grant(kind, s.revision(), trial, bypass, "sam");
    }
  }

  /** A grant goes out when it is asked for, before its record is synced. */
  static final class GrantBeforeSync extends Rig {
    @Override
    HoldStep step(HoldState state, HoldInput input) {
      HoldStep asked = super.step(state, input);
      if (asked.grantPending().isEmpty()) {
        return asked;
      }
      return super.step(asked.next(), new HoldInput.GrantSynced(asked.grantPending().get()));
    }
  }

  /** A power cut is taken for a clean stop, so that nobody has to look. */
  static final class UncleanWithoutAPerson extends Rig {
    @Override
    HoldState powerCut(HoldState synced) {
      return step(synced, new HoldInput.Restarted(true)).next();
    }
  }
}
