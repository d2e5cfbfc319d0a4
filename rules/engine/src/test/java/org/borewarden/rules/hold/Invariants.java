package org.borewarden.rules.hold;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** I1 to I9 of docs/hold.md over one edge of the walk; each names what it found broken. */
final class Invariants {
  static final String PERMIT_ROSE = "I1 the permit rose without a synced grant at this revision";
  static final String LOST_FINDING = "I4 the permit stands over a finding that was lost";

  private Invariants() {}

  /** How an edge came about. */
  enum Edge {
    INPUT,
    COMMIT_END,
    START
  }

  /** Checks that hold for every edge. */
  static List<String> always(
      HoldState from, HoldState to, Edge edge, boolean granted, boolean lost) {
    List<String> broken = new ArrayList<>();
    if (to.permitted() && !from.permitted() && !(edge == Edge.COMMIT_END && granted)) {
      broken.add(PERMIT_ROSE);
    }
    if (to.permitted() && !excepted(to)) {
      broken.add("I4 the permit stands over an unreleased finding");
    }
    if (to.permitted() && lost && to.phase() == Phase.PERMITTED) {
      broken.add(LOST_FINDING);
    }
    if (edge == Edge.START && to.permitted()) {
      broken.add("I5 the first output after a start is a permit");
    }
    if (to.permitted() && !to.conditions().isEmpty()) {
      broken.add("I6 the permit stands with a condition");
    }
    if (edge == Edge.START && to.bypass().isPresent()) {
      broken.add("I7 a bypass outlived a start");
    }
    if (latched(from)
        && latched(to)
        && from.kind().orElseThrow().compareTo(to.kind().orElseThrow()) > 0) {
      broken.add("I3 the kind fell without a release");
    }
    return broken;
  }

  /** Checks that hold for one input between commits. */
  static List<String> onInput(HoldState from, HoldStep step, WalkInputs.Happening happening) {
    HoldState to = step.next();
    List<String> broken = new ArrayList<>();
    HoldInput input = happening.input();
    if (input instanceof HoldInput.FindingRaised finding) {
      boolean covered =
          from.bypass().isPresent() && from.bypass().get().causes().contains(finding.cause().key());
      if (to.permitted() && !covered) {
        broken.add("I2 a finding left the permit");
      }
      if (!to.causes().stream().anyMatch(c -> c.key().equals(finding.cause().key()))) {
        broken.add("I2 a finding was not latched");
      }
    }
    if (input instanceof HoldInput.ConditionSet && to.permitted()) {
      broken.add("I6 a condition left the permit");
    }
    if (!remaining(from, input).equals(new HashSet<>(to.conditions()))) {
      broken.add("I6 the conditions are not those that were set and not cleared");
    }
    if (input instanceof HoldInput.BypassEnd && to.bypass().isPresent()) {
      broken.add("I7 a bypass outlived its end");
    }
    if (!keys(to).containsAll(keys(from))) {
      broken.add("I8 a latch was cleared without a synced release");
    }
    if (happening.older() && !to.equals(from)) {
      broken.add("I9 an older command changed something");
    }
    if (step.grantPending().isPresent()
        && from.grant().isPresent()
        && step.grantPending().get() <= from.revision()) {
      broken.add("I1 two grants share a revision");
    }
    return broken;
  }

  private static Set<Condition> remaining(HoldState from, HoldInput input) {
    Set<Condition> expected = new HashSet<>(from.conditions());
    if (input instanceof HoldInput.ConditionSet set) {
      expected.add(set.condition());
    } else if (input instanceof HoldInput.ConditionCleared cleared) {
      expected.remove(cleared.condition());
    }
    return expected;
  }

  /** No cause stands, or an exception that a person gave covers them all. */
  private static boolean excepted(HoldState s) {
    boolean covered = s.bypass().isPresent() && s.bypass().get().causes().containsAll(keys(s));
    return s.causes().isEmpty() || s.phase() == Phase.TRIAL || s.permitKept() || covered;
  }

  private static boolean latched(HoldState s) {
    return s.number() != 0;
  }

  static Set<String> keys(HoldState s) {
    Set<String> keys = new HashSet<>();
    s.causes().forEach(c -> keys.add(c.key()));
    return keys;
  }
}
