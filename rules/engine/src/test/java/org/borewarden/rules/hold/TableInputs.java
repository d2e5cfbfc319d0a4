package org.borewarden.rules.hold;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.function.Function;
import org.borewarden.rules.part.StopKind;

/** The rows of hold-table.md as inputs, made for the state that they meet. */
final class TableInputs {
  static final Map<String, Function<HoldState, HoldInput>> ROWS = rows();

  private TableInputs() {}

  /** The input of a row for a state. */
  static HoldInput of(String row, HoldState state) {
    return Objects.requireNonNull(ROWS.get(row), row).apply(state);
  }

  private static Map<String, Function<HoldState, HoldInput>> rows() {
    Map<String, Function<HoldState, HoldInput>> rows = new LinkedHashMap<>();
    findingsAndCommands(rows);
    conditions(rows);
    cellAndTrial(rows);
    return rows;
  }

  private static void findingsAndCommands(Map<String, Function<HoldState, HoldInput>> rows) {
    rows.put("finding end of part", s -> Cell4.finding("size", StopKind.END_OF_PART));
    rows.put("finding next safe point", s -> Cell4.finding("size", StopKind.NEXT_SAFE_POINT));
    rows.put("release, evidence there", Cell4::releaseOf);
    rows.put("release, evidence owed", Cell4::releaseOwedOf);
    rows.put(
        "release, older revision",
        s -> new HoldInput.Release(s.number(), s.revision() - 1, true, Optional.empty(), "sam"));
    rows.put("evidence complete", s -> new HoldInput.EvidenceComplete());
    rows.put("trial bad or used up", s -> new HoldInput.TrialBad("missing bore"));
    rows.put("rules reloaded", s -> new HoldInput.RulesReloaded());
    rows.put("rules refused", s -> new HoldInput.RulesRefused());
    rows.put("bypass start", Cell4::bypassOf);
    rows.put("bypass end", s -> new HoldInput.BypassEnd("vera"));
    rows.put("start evidence fresh", s -> new HoldInput.StartEvidenceFresh());
    rows.put("grant synced (this revision)", s -> new HoldInput.GrantSynced(s.revision()));
    rows.put("grant synced (older revision)", s -> new HoldInput.GrantSynced(s.revision() - 1));
    rows.put("contain added", s -> new HoldInput.ContainAdded(List.of("36")));
    rows.put("watch-only set", s -> new HoldInput.WatchOnlySet(true));
  }

  private static void conditions(Map<String, Function<HoldState, HoldInput>> rows) {
    rows.put("broker lost", s -> new HoldInput.BrokerLost(false));
    rows.put("broker back", s -> new HoldInput.BrokerBack(false));
    rows.put("broker lost, only output", s -> new HoldInput.BrokerLost(true));
    rows.put("broker back, only output", s -> new HoldInput.BrokerBack(true));
    pair(rows, Reason.LINK, "cell link lost", "cell link back");
    pair(rows, Reason.JOURNAL, "journal failed", "journal recovered");
    pair(rows, Reason.STALL, "beat overdue", "beat in time again");
    pair(rows, Reason.SOURCE_LOST, "source lost", "source back");
    pair(rows, Reason.MEASURE_AGAIN, "measure again", "measure again refuted");
    pair(rows, Reason.GAUGE_BELIEF, "gauge belief lost", "gauge belief back");
    pair(rows, Reason.RULES_INVALID, "rules invalid", "rules valid again");
    pair(rows, Reason.OVERRUN, "overrun", "overrun over");
    pair(rows, Reason.NOT_JUDGED, "feature not judged", "feature judged again");
  }

  private static void pair(
      Map<String, Function<HoldState, HoldInput>> rows, Reason reason, String set, String cleared) {
    Condition condition = new Condition(reason, Optional.empty());
    rows.put(set, s -> new HoldInput.ConditionSet(condition));
    rows.put(cleared, s -> new HoldInput.ConditionCleared(condition));
  }

  private static void cellAndTrial(Map<String, Function<HoldState, HoldInput>> rows) {
    rows.put(
        "cell ack (this revision)",
        s -> new HoldInput.CellAck(s.number(), s.kind().orElse(StopKind.END_OF_PART)));
    rows.put(
        "cell ack (older revision)",
        s -> new HoldInput.CellAck(s.number() + 9, StopKind.NEXT_SAFE_POINT));
    rows.put("ack overdue", s -> new HoldInput.AckOverdue(false));
    rows.put("ack overdue, may escalate", s -> new HoldInput.AckOverdue(true));
    rows.put("cell stopped", s -> new HoldInput.CellStopped());
    rows.put("cell restarted", s -> new HoldInput.CellRestarted());
    rows.put("trial part begun", s -> new HoldInput.TrialPartBegun());
    rows.put("trial part finished", s -> new HoldInput.TrialPartFinished());
    rows.put("trial bore within", s -> new HoldInput.TrialBore(true));
    rows.put("trial bore not within", s -> new HoldInput.TrialBore(false));
  }

  /** The condition that a row sets or clears. */
  static Optional<Condition> conditionOf(HoldInput input) {
    if (input instanceof HoldInput.ConditionSet set) {
      return Optional.of(set.condition());
    }
    if (input instanceof HoldInput.ConditionCleared cleared) {
      return Optional.of(cleared.condition());
    }
    if (input instanceof HoldInput.BrokerLost || input instanceof HoldInput.BrokerBack) {
      return Optional.of(new Condition(Reason.BROKER, Optional.empty()));
    }
    return Optional.empty();
  }
}
