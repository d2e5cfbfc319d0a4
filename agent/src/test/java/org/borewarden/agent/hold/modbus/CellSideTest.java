package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Optional;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CellSideTest {
  private static final NumberedFeature SEAT = new NumberedFeature("bearing-seat", "bore-1");

  private final Recorder inbox = new Recorder();
  private final CellSide side =
      new CellSide(
          "cell-4",
          new Wires(
              inbox,
              () -> 0,
              LinkMeter.NONE,
              number -> number == 3 ? Optional.of(SEAT) : Optional.empty()),
          Duration.ofSeconds(1));
  private final int[] b = new int[29];

  CellSideTest() {
    b[0] = 0x0101;
    b[5] = 1;
    side.take(b);
  }

  @Test
  void wordsAreToldOnlyWhenSomethingOtherThanTheEchoChanged() {
    assertThat(inbox.reports()).hasSize(1);
    b[1] = b[28] = 17;
    side.take(b);
    assertThat(inbox.reports()).hasSize(1);
    b[8] = 2;
    side.take(b);
    assertThat(inbox.reports()).hasSize(2);
  }

  @Test
  void wordsThatFoundTheInboxFullAreToldLater() {
    inbox.full(true);
    b[8] = 2;
    side.take(b);
    inbox.full(false);
    side.take(b);
    assertThat(inbox.report().orElseThrow().partsToGauge()).isEqualTo(2);
  }

  @Test
  void aToolChangeAtTheCellIsACommandInTheRoleCell() {
    ask(1, 1, 7);
    Command command = inbox.commands().get(0);
    assertThat(command.role()).isEqualTo(Role.CELL);
    assertThat(command.authenticatedAs()).isEqualTo("modbus:cell-4");
    assertThat(command.order()).isEqualTo(new Order.ToolChanged("cell-4", Optional.of("7")));
    assertThat(side.answers().request()).isZero();

    side.answered("someone-else", AnswerCode.NO_RIGHT);
    assertThat(side.answers().request()).isZero();
    side.answered(command.id(), AnswerCode.ACCEPTED);
    assertThat(side.answers()).isEqualTo(new Answers(1, 0, 0));
  }

  @Test
  void anOffsetIsSignedInTenthsOfAMicrometre() {
    b[9] = 7;
    ask(1, 2, 65_536 - 35);
    assertThat(inbox.commands().get(0).order())
        .isEqualTo(new Order.OffsetEntered("cell-4", Optional.of("7"), new Length(-3_500_000)));
  }

  @Test
  void theLastBoreOfANumberedFeatureCanBeDiscarded() {
    ask(1, 4, 3);
    assertThat(inbox.commands().get(0).order())
        .isEqualTo(new Order.Discard("bearing-seat", Optional.empty(), "asked at the cell"));
    ask(2, 4, 99);
    assertThat(inbox.commands()).hasSize(1);
    assertThat(side.answers().request()).isEqualTo(2);
    assertThat(side.answers().code()).isEqualTo(12);
  }

  @Test
  void theNextPartEndsABoreOfANumberedFeatureThatLacksReadings() {
    ask(1, 3, 3);
    assertThat(inbox.commands().get(0).order()).isEqualTo(new Order.NextPart("bearing-seat"));
    ask(2, 3, 99);
    assertThat(inbox.commands()).hasSize(1);
    assertThat(side.answers().code()).isEqualTo(12);
  }

  @Test
  void aRingCheckIsOfTheGaugeThatMeasuresANumberedFeature() {
    ask(1, 5, 3);
    assertThat(inbox.commands().get(0).order())
        .isEqualTo(new Order.RingCheck("bore-1", Optional.empty()));
    ask(2, 5, 99);
    assertThat(inbox.commands()).hasSize(1);
    assertThat(side.answers().code()).isEqualTo(12);
  }

  @Test
  void theFeatureAtTheGaugeIsToldWithThePartUntilThereIsAnotherPart() {
    context(1, "A1");
    ask(1, 7, 3);
    assertThat(inbox.report().orElseThrow().context().serial()).contains("A1");
    assertThat(inbox.report().orElseThrow().context().feature()).contains("bearing-seat");
    assertThat(inbox.commands()).isEmpty();
    assertThat(side.answers()).isEqualTo(new Answers(1, 0, 1));

    ask(2, 7, 99);
    assertThat(side.answers()).as("no such feature").isEqualTo(new Answers(2, 12, 1));
    assertThat(inbox.report().orElseThrow().context().feature()).contains("bearing-seat");

    context(2, "A2");
    assertThat(inbox.report().orElseThrow().context().feature()).isEmpty();
    ask(3, 7, 3);
    ask(4, 7, 0);
    assertThat(inbox.report().orElseThrow().context().feature()).isEmpty();
    assertThat(side.answers()).isEqualTo(new Answers(4, 0, 2));
  }

  @Test
  void theFeatureAtTheGaugeIsAnsweredWhenItIsTold() {
    inbox.full(true);
    ask(1, 7, 3);
    assertThat(side.answers()).isEqualTo(Answers.NONE);
    inbox.full(false);
    side.take(b);
    assertThat(inbox.report().orElseThrow().context().feature()).contains("bearing-seat");
    assertThat(side.answers()).isEqualTo(new Answers(1, 0, 0));
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 6, 7, 8, 9, 100, 65535})
  void thereIsNoRequestForAReleaseOrABypass(int request) {
    ask(1, request, 1);
    assertThat(inbox.commands()).isEmpty();
    assertThat(side.answers()).isEqualTo(new Answers(1, 12, 0));
  }

  @Test
  void aRequestIsTakenOnceAndTheNextNumberIsANewOne() {
    ask(1, 1, 7);
    side.take(b);
    side.take(b);
    assertThat(inbox.commands()).hasSize(1);
    ask(2, 1, 7);
    assertThat(inbox.commands()).hasSize(2);
    assertThat(inbox.commands().get(0).id()).isNotEqualTo(inbox.commands().get(1).id());
  }

  @Test
  void aRequestThatFoundTheInboxFullIsTakenLater() {
    inbox.full(true);
    ask(1, 1, 7);
    inbox.full(false);
    side.take(b);
    assertThat(inbox.commands()).hasSize(1);
    side.answered(inbox.commands().get(0).id(), AnswerCode.ACCEPTED);
    assertThat(side.answers().request()).isEqualTo(1);
  }

  @Test
  void aRequestThatStoodBeforeWeStartedIsNotTaken() {
    Recorder fresh = new Recorder();
    CellSide other =
        new CellSide(
            "cell-4",
            new Wires(fresh, () -> 0, LinkMeter.NONE, n -> Optional.empty()),
            Duration.ofSeconds(1));
    b[24] = 5;
    b[25] = 1;
    other.take(b);
    assertThat(fresh.commands()).isEmpty();
    b[24] = 6;
    other.take(b);
    assertThat(fresh.commands()).hasSize(1);
  }

  @Test
  void aNumberThatJumpsIsRefusedAndTheNextOneIsTaken() {
    ask(9, 1, 7);
    assertThat(inbox.commands()).isEmpty();
    assertThat(side.answers()).isEqualTo(new Answers(9, 12, 0));
    ask(10, 1, 7);
    assertThat(inbox.commands()).hasSize(1);
  }

  @Test
  void afterAStartOfTheControllerItsNumbersBeginAnew() {
    ask(1, 1, 7);
    side.answered(inbox.commands().get(0).id(), AnswerCode.ACCEPTED);
    b[5] = 2;
    b[24] = 0;
    side.take(b);
    assertThat(side.answers()).isEqualTo(Answers.NONE);
    ask(1, 1, 7);
    assertThat(inbox.commands()).hasSize(2);
  }

  @Test
  void aContextIsTakenWithItsNumberAndKeptWhenTheFieldsMoveOn() {
    context(1, "A1");
    assertThat(inbox.report().orElseThrow().context().serial()).contains("A1");
    assertThat(side.answers().context()).isEqualTo(1);
    serial("B2");
    side.take(b);
    assertThat(inbox.report().orElseThrow().context().serial()).contains("A1");
    context(2, "B2");
    assertThat(inbox.report().orElseThrow().context().serial()).contains("B2");
    assertThat(side.answers().context()).isEqualTo(2);
  }

  @Test
  void aContextWhoseNumbersDisagreeIsNotTaken() {
    serial("A1");
    b[23] = 1;
    side.take(b);
    assertThat(side.answers().context()).isZero();
    b[27] = 1;
    side.take(b);
    assertThat(side.answers().context()).isEqualTo(1);
  }

  @Test
  void aContextIsNotAnsweredBeforeTheInboxTookIt() {
    inbox.full(true);
    context(1, "A1");
    assertThat(side.answers().context()).isZero();
    inbox.full(false);
    side.take(b);
    assertThat(side.answers().context()).isEqualTo(1);
  }

  @Test
  void aTornBlockChangesNothing() {
    b[8] = 77;
    b[24] = 1;
    b[25] = 1;
    b[28] = 5;
    side.take(b);
    assertThat(inbox.reports()).hasSize(1);
    assertThat(inbox.commands()).isEmpty();
  }

  @Test
  void aContextNumberOfNoughtTakesTheContextAway() {
    context(1, "A1");
    context(0, "A1");
    assertThat(inbox.report().orElseThrow().context()).isEqualTo(PartContext.NONE);
  }

  private void ask(int number, int request, int argument) {
    b[24] = number;
    b[25] = request;
    b[26] = argument;
    side.take(b);
  }

  private void context(int number, String serial) {
    serial(serial);
    b[23] = b[27] = number;
    side.take(b);
  }

  private void serial(String text) {
    b[15] = text.charAt(0) << 8 | text.charAt(1);
  }
}
