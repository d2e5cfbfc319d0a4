package org.borewarden.rules.hold;

import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/** Drives the hold of an invented cell from state to state, the way inputs would. */
final class Cell4 {
  static final Instant AT = Instant.parse("2025-03-03T06:00:00Z");
  static final Condition LINK = new Condition(Reason.LINK, Optional.empty());
  static final Condition JOURNAL = new Condition(Reason.JOURNAL, Optional.empty());
  static final Condition STALL = new Condition(Reason.STALL, Optional.empty());
  static final Condition OTHER = new Condition(Reason.SOURCE_LOST, Optional.of("plug-9"));
  static final Trial.Terms THREE_PARTS = new Trial.Terms(3, 1, 2);

  private Instant now = AT;
  private HoldState state;
  private HoldStep last;

  private Cell4(HoldState state) {
    this.state = state;
    this.last = new HoldStep(state, Optional.empty(), Optional.empty(), false);
  }

  /** A cell in a state of the table, by its code. */
  static Cell4 in(String code) {
    Cell4 cell = from(HoldState.initial(AT)).take(new HoldInput.Restarted(true));
    return switch (code) {
      case "SU" -> cell;
      case "RUN" -> cell.fresh();
      case "NRY" -> cell.fresh().take(new HoldInput.ConditionSet(OTHER));
      case "REQ" -> cell.fresh().find("drift", StopKind.END_OF_PART);
      case "ACK" -> in("REQ").ack();
      case "TRY" -> in("ACK").releaseOwed().sync();
      case "RLW" -> in("REQ").release();
      case "BYP" -> in("REQ").bypass("drift").sync();
      default -> throw new IllegalArgumentException("no state " + code);
    };
  }

  static Cell4 from(HoldState state) {
    return new Cell4(state);
  }

  static Phase phase(String code) {
    return switch (code) {
      case "SU" -> Phase.STARTING;
      case "RUN" -> Phase.PERMITTED;
      case "NRY" -> Phase.NOT_READY;
      case "REQ" -> Phase.REQUESTED;
      case "ACK" -> Phase.HEARD;
      case "TRY" -> Phase.TRIAL;
      case "RLW" -> Phase.RELEASING;
      case "BYP" -> Phase.BYPASSED;
      default -> throw new IllegalArgumentException("no state " + code);
    };
  }

  Cell4 take(HoldInput input) {
    last = HoldMachine.step(state, input, 7, now);
    state = last.next();
    return this;
  }

  Cell4 at(Instant later) {
    now = later;
    return this;
  }

  Cell4 find(String key, StopKind kind) {
    return take(finding(key, kind));
  }

  Cell4 set(Condition condition) {
    return take(new HoldInput.ConditionSet(condition));
  }

  Cell4 clear(Condition condition) {
    return take(new HoldInput.ConditionCleared(condition));
  }

  Cell4 fresh() {
    return take(new HoldInput.StartEvidenceFresh()).sync();
  }

  Cell4 ack() {
    return take(new HoldInput.CellAck(state.number(), state.kind().orElse(StopKind.END_OF_PART)));
  }

  Cell4 release() {
    return take(releaseOf(state));
  }

  Cell4 releaseOwed() {
    return take(releaseOwedOf(state));
  }

  Cell4 bypass(String... causes) {
    return take(
        new HoldInput.BypassStart(state.number(), state.revision(), List.of(causes), 15, "vera"));
  }

  /** The record of the grant in flight is synced. */
  Cell4 sync() {
    return take(
        new HoldInput.GrantSynced(state.grant().map(Grant::revision).orElse(state.revision())));
  }

  HoldState state() {
    return state;
  }

  HoldStep last() {
    return last;
  }

  Optional<AnswerCode> code() {
    return last.code();
  }

  List<String> causes() {
    return state.causes().stream().map(Cause::key).toList();
  }

  static HoldInput.FindingRaised finding(String key, StopKind kind) {
    return new HoldInput.FindingRaised(
        new Cause(key, Reason.FORECAST, Optional.of("bearing-seat"), kind, 7, 1));
  }

  static HoldInput.Release releaseOf(HoldState state) {
    return new HoldInput.Release(state.number(), state.revision(), true, Optional.empty(), "sam");
  }

  static HoldInput.Release releaseOwedOf(HoldState state) {
    return new HoldInput.Release(
        state.number(), state.revision(), false, Optional.of(THREE_PARTS), "sam");
  }

  static HoldInput.BypassStart bypassOf(HoldState state) {
    List<String> causes = state.causes().stream().map(Cause::key).toList();
    return new HoldInput.BypassStart(state.number(), state.revision(), causes, 15, "vera");
  }
}
