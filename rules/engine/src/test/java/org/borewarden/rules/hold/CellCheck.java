package org.borewarden.rules.hold;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.StopKind;

/** What each notation of the reviewed table means, as assertions on one step. */
final class CellCheck {
  private static final Condition LATER = new Condition(Reason.SOURCE_LOST, Optional.of("later"));

  private final HoldState before;
  private final HoldInput input;
  private final HoldStep step;
  private final HoldState next;

  CellCheck(HoldState before, HoldInput input) {
    this.before = before;
    this.input = input;
    this.step = Cell4.from(before).take(input).last();
    this.next = step.next();
  }

  void recordedOnly() {
    assertThat(step.code()).isEmpty();
    assertThat(step.grantPending()).isEmpty();
    unmoved();
  }

  void refused(String code) {
    assertThat(step.code().map(AnswerCode::key)).contains(code);
    assertThat(step.changed()).isFalse();
    assertThat(next).isEqualTo(before);
  }

  void raised(Phase phase, StopKind least) {
    assertThat(next.phase()).isEqualTo(phase);
    assertThat(next.permitted()).isFalse();
    assertThat(next.kind().orElseThrow()).isGreaterThanOrEqualTo(least);
    before.kind().ifPresent(k -> assertThat(next.kind().orElseThrow()).isGreaterThanOrEqualTo(k));
    assertThat(next.grant()).isEmpty();
    assertThat(next.revision()).isGreaterThan(before.revision());
    assertThat(step.code()).isEmpty();
    if (input instanceof HoldInput.FindingRaised finding) {
      assertThat(keys(next)).contains(finding.cause().key());
      assertThat(next.number()).isPositive();
    }
  }

  void granted(Phase phase) {
    unmoved();
    int revision = step.grantPending().orElseThrow();
    assertThat(revision).isEqualTo(next.revision());
    assertThat(step.code()).isNotEqualTo(Optional.of(AnswerCode.SUPERSEDED));
    HoldState given = Cell4.from(next).sync().state();
    assertThat(given.phase()).isEqualTo(phase);
    assertThat(given.permitted()).isEqualTo(given.conditions().isEmpty());
    voided(Cell4.finding("later", StopKind.END_OF_PART), revision);
    voided(new HoldInput.ConditionSet(LATER), revision);
    voided(new HoldInput.ConditionSet(Cell4.JOURNAL), revision);
  }

  /** Between commit begin and commit end something came: the sync must give nothing. */
  private void voided(HoldInput between, int revision) {
    HoldState after = Cell4.from(next).take(between).state();
    HoldStep late = Cell4.from(after).take(new HoldInput.GrantSynced(revision)).last();
    assertThat(late.changed()).isFalse();
    assertThat(late.next().permitted()).isFalse();
  }

  void moved(Phase phase) {
    assertThat(before.phase()).as("a move leaves its state").isNotEqualTo(phase);
    assertThat(next.phase()).isEqualTo(phase);
    assertThat(next.permitted()).isEqualTo(before.permitted());
    assertThat(next.kind()).isEqualTo(before.kind());
    assertThat(keys(next)).isEqualTo(keys(before));
    boolean command = input instanceof HoldInput.Release || input instanceof HoldInput.CellAck;
    assertThat(step.code()).isEqualTo(command ? accepted() : Optional.empty());
    if (phase == Phase.RELEASING) {
      releaseComes();
    }
  }

  void givenNow(Phase phase) {
    assertThat(before.permitted()).isFalse();
    assertThat(next.permitted()).isTrue();
    assertThat(next.phase()).isEqualTo(phase);
  }

  void conditionStands(String letter, boolean alone) {
    Condition condition = TableInputs.conditionOf(input).orElseThrow();
    if (!letter.equals("C")) {
      Condition named =
          switch (letter) {
            case "L" -> Cell4.LINK;
            case "J" -> Cell4.JOURNAL;
            case "S" -> Cell4.STALL;
            default -> throw new IllegalArgumentException("no condition " + letter);
          };
      assertThat(condition).isEqualTo(named);
    }
    assertThat(next.conditions()).contains(condition);
    assertThat(next.permitted()).isFalse();
    assertThat(next.revision()).isGreaterThan(before.revision());
    assertThat(keys(next)).containsAll(keys(before));
    if (alone) {
      assertThat(next.phase()).isEqualTo(before.phase());
    }
  }

  void suspended() {
    assertThat(next.phase()).isEqualTo(before.phase());
    assertThat(before.permitted()).isTrue();
    assertThat(next.permitted()).isFalse();
    Condition condition = TableInputs.conditionOf(input).orElseThrow();
    Cell4 back = Cell4.from(next).clear(condition);
    assertThat(back.state().permitted()).as("waits for a synced record").isFalse();
    assertThat(back.last().grantPending()).isPresent();
    assertThat(back.sync().state().permitted()).isTrue();
    assertThat(back.state().phase()).isEqualTo(before.phase());
  }

  void cleared() {
    Condition condition = TableInputs.conditionOf(input).orElseThrow();
    assertThat(next.conditions()).doesNotContain(condition);
    assertThat(next.phase()).isEqualTo(before.phase());
    assertThat(keys(next)).isEqualTo(keys(before));
    assertThat(next.kind()).isEqualTo(before.kind());
    if (before.conditions().contains(condition)) {
      assertThat(next.permitted()).as("the permit waits for a synced record").isFalse();
    } else {
      assertThat(next).isEqualTo(before);
    }
  }

  void goes() {
    unmoved();
    HoldState run = Cell4.from(next).sync().state();
    assertThat(run.phase()).isEqualTo(Phase.PERMITTED);
    assertThat(run.permitted()).isTrue();
    HoldState latched = Cell4.from(before).find("drift", StopKind.END_OF_PART).take(input).state();
    assertThat(latched.phase()).isEqualTo(Phase.REQUESTED);
    Cell4 withCondition = Cell4.from(before).set(Cell4.LINK).take(input);
    assertThat(withCondition.state().phase()).isEqualTo(Phase.STARTING);
    assertThat(withCondition.last().grantPending()).isEmpty();
    HoldState cleared = withCondition.clear(Cell4.LINK).sync().state();
    assertThat(cleared.phase()).isEqualTo(Phase.PERMITTED);
  }

  void releasesWithItsPermit(Phase meanwhile) {
    assertThat(next.phase()).isEqualTo(meanwhile);
    assertThat(before.permitted()).isTrue();
    assertThat(next.permitted()).isTrue();
    releaseComes();
  }

  private void releaseComes() {
    int revision = step.grantPending().orElseThrow();
    HoldState released = Cell4.from(next).sync().state();
    assertThat(released.phase()).isEqualTo(Phase.PERMITTED);
    assertThat(released.permitted()).isTrue();
    assertThat(released.causes()).isEmpty();
    voided(Cell4.finding("later", StopKind.END_OF_PART), revision);
    voided(new HoldInput.ConditionSet(LATER), revision);
  }

  private void unmoved() {
    assertThat(next.phase()).isEqualTo(before.phase());
    assertThat(next.permitted()).isEqualTo(before.permitted());
    assertThat(next.kind()).isEqualTo(before.kind());
    assertThat(next.number()).isEqualTo(before.number());
    assertThat(next.causes()).isEqualTo(before.causes());
    assertThat(next.conditions()).isEqualTo(before.conditions());
    assertThat(next.heard()).isEqualTo(before.heard());
  }

  private static Optional<AnswerCode> accepted() {
    return Optional.of(AnswerCode.ACCEPTED);
  }

  private static List<String> keys(HoldState state) {
    return state.causes().stream().map(Cause::key).toList();
  }
}
