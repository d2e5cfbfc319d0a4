package org.borewarden.rules.hold;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/** Everything that may happen to the walked hold between commits, made for the state it meets. */
final class WalkInputs {
  private WalkInputs() {}

  /**
   * One thing that may happen.
   *
   * @param name for the trace
   * @param older whether it quotes an older hold or revision
   */
  record Happening(String name, HoldInput input, boolean older) {}

  static List<Happening> of(HoldState s) {
    List<Happening> all = new ArrayList<>();
    findings(all);
    commands(all, s);
    conditions(all);
    others(all, s);
    return all;
  }

  private static void findings(List<Happening> all) {
    for (String key : List.of("a", "b")) {
      for (StopKind kind : StopKind.values()) {
        add(all, "finding " + key + " " + kind, Cell4.finding(key, kind));
      }
    }
  }

  private static void commands(List<Happening> all, HoldState s) {
    add(all, "release", Cell4.releaseOf(s));
    add(all, "release owed", Cell4.releaseOwedOf(s));
    add(all, "bypass", Cell4.bypassOf(s));
    add(all, "bypass of nothing", bypassOfNothing(s.number(), s.revision()));
    add(all, "bypass end", new HoldInput.BypassEnd("vera"));
    int older = s.revision() - 1;
    addOlder(
        all,
        "release, older revision",
        new HoldInput.Release(s.number(), older, true, Optional.empty(), "sam"));
    addOlder(
        all,
        "release owed, older revision",
        new HoldInput.Release(s.number(), older, false, Optional.of(Cell4.THREE_PARTS), "sam"));
    addOlder(
        all,
        "release, older hold",
        new HoldInput.Release(s.number() - 1, s.revision(), true, Optional.empty(), "sam"));
    addOlder(all, "bypass, older revision", bypassOfNothing(s.number(), older));
    addOlder(all, "older grant synced", new HoldInput.GrantSynced(older));
    addOlder(
        all,
        "ack of an older hold",
        new HoldInput.CellAck(s.number() - 1, StopKind.NEXT_SAFE_POINT));
  }

  private static HoldInput bypassOfNothing(int number, int revision) {
    return new HoldInput.BypassStart(number, revision, List.of(), 15, "vera");
  }

  private static void conditions(List<Happening> all) {
    for (Condition condition : List.of(Cell4.LINK, Cell4.JOURNAL, Cell4.STALL)) {
      add(all, "set " + condition.reason(), new HoldInput.ConditionSet(condition));
      add(all, "clear " + condition.reason(), new HoldInput.ConditionCleared(condition));
    }
  }

  private static void others(List<Happening> all, HoldState s) {
    for (StopKind kind : StopKind.values()) {
      add(all, "ack " + kind, new HoldInput.CellAck(s.number(), kind));
    }
    add(all, "ack overdue, may escalate", new HoldInput.AckOverdue(true));
    add(all, "cell restarted", new HoldInput.CellRestarted());
    add(all, "evidence fresh", new HoldInput.StartEvidenceFresh());
    add(all, "evidence complete", new HoldInput.EvidenceComplete());
    add(all, "trial bad", new HoldInput.TrialBad("missing bore"));
    add(all, "rules reloaded", new HoldInput.RulesReloaded());
  }

  private static void add(List<Happening> all, String name, HoldInput input) {
    all.add(new Happening(name, input, false));
  }

  private static void addOlder(List<Happening> all, String name, HoldInput input) {
    all.add(new Happening(name, input, true));
  }
}
