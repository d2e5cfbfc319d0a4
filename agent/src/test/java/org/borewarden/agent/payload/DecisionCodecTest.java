package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;
import org.borewarden.rules.uncertainty.Temperatures;
import org.junit.jupiter.api.Test;

class DecisionCodecTest {
  @Test
  void everyKindOfDecisionHasANameOfItsOwnWhichIsNoEvents() {
    Map<Class<?>, String> names = new HashMap<>();
    RandomShift shift = new RandomShift(7);
    State state = State.initial();
    long seq = 0;
    for (int i = 0; i < 4000; i++) {
      Instant at = shift.later();
      Stamped stamped = new Stamped(seq + 1, at, shift.next(state));
      Step step = Engine.step(state, stamped);
      shift.saw(stamped.seq(), step);
      state = step.next();
      seq = stamped.seq() + step.decisions().size();
      for (Decision decision : step.decisions()) {
        String kind = DecisionCodec.encode(decision).kind();
        assertThat(EventCodec.isEvent(kind)).as(kind).isFalse();
        assertThat(names.putIfAbsent(decision.getClass(), kind)).isIn(null, kind);
      }
    }
    // Nor does it put a cell into test mode.
    Decision walked =
        new Decision.CellTestEnded(
            "cell-4", 41, shift.later(), "k-berg", "local:root", "passed", 304, 0);
    names.put(walked.getClass(), DecisionCodec.encode(walked).kind());
    // A random shift does not ask for a test of the hold path and then let the cell hear and stop,
    // and hardly ever finds a suspect gauge good twice.
    for (Decision rare :
        List.of(
            new Decision.HoldTestPassed("cell-4", 1), new Decision.WindowWithdrawn("bore-3", 1))) {
      names.put(rare.getClass(), DecisionCodec.encode(rare).kind());
    }
    // Nor has it a feature whose sizes are corrected.
    Decision corrected =
        new Decision.ReadingCorrected(
            "bore-1",
            5,
            new Reading(
                "bore-1",
                new Length(62_020_000_000L),
                Unit.MILLIMETRE,
                3,
                Optional.empty(),
                Optional.empty()),
            new Length(62_005_330_800L),
            new Length(-14_669_200),
            new Temperatures(31, 22, OptionalDouble.empty()),
            new Length(250_000));
    names.put(corrected.getClass(), DecisionCodec.encode(corrected).kind());
    assertThat(DecisionCodec.encode(corrected).topic()).contains("reading/bore-1");
    assertThat(DecisionCodec.encode(corrected).body())
        .isEqualTo(
            "{\"gauge\":\"bore-1\",\"corrects\":5,\"raw\":62.020,\"value\":62.0053308,"
                + "\"unit\":\"mm\",\"pm\":62005330800,\"correction\":-0.0146692,"
                + "\"u\":0.00025,\"part\":31.0,\"ring\":22.0}");
    // Nor does its gauge say what is not believed.
    Decision disbelieved =
        new Decision.ReadingDisbelieved(
            "bore-1",
            5,
            new Reading(
                "bore-1",
                new Length(2_441_000_000L),
                Unit.MILLIMETRE,
                3,
                Optional.empty(),
                Optional.empty()),
            "other-unit",
            "expected about 62 mm, found 2.441 mm");
    names.put(disbelieved.getClass(), DecisionCodec.encode(disbelieved).kind());
    assertThat(DecisionCodec.encode(disbelieved).topic()).contains("rejected/bore-1");
    assertThat(DecisionCodec.encode(disbelieved).body())
        .isEqualTo(
            "{\"gauge\":\"bore-1\",\"why\":\"other-unit\","
                + "\"detail\":\"expected about 62 mm, found 2.441 mm\",\"offset\":0,"
                + "\"excerpt\":\"2.441 mm\",\"unpublished\":0}");
    // Nor is a person at its gauge.
    Decision skipped = new Decision.FeatureSkipped("sleeve", 4, "chips", "sam");
    names.put(skipped.getClass(), DecisionCodec.encode(skipped).kind());
    Decision renamed =
        new Decision.SerialCorrected("sleeve", 4, Optional.of("A-1"), "A-2", "slip", "sam");
    names.put(renamed.getClass(), DecisionCodec.encode(renamed).kind());
    assertThat(DecisionCodec.encode(renamed).topic()).contains("verdict/sleeve");
    assertThat(DecisionCodec.encode(renamed).body())
        .isEqualTo(
            "{\"feature\":\"sleeve\",\"revised\":4,\"verdict\":\"serial-corrected\",\"was\":\"A-1\","
                + "\"serial\":\"A-2\",\"why\":\"slip\",\"by\":\"sam\"}");
    Decision over =
        new Decision.HandedOver(
            "cell-4",
            "sam",
            Optional.of("kim"),
            List.of(new Decision.OpenItem("ring-check", "bore-1", "is due")));
    names.put(over.getClass(), DecisionCodec.encode(over).kind());
    assertThat(DecisionCodec.encode(over).body())
        .isEqualTo(
            "{\"cell\":\"cell-4\",\"by\":\"sam\",\"to\":\"kim\",\"items\":[{\"what\":\"ring-check\","
                + "\"subject\":\"bore-1\",\"words\":\"is due\"}]}");
    Decision found =
        new Decision.AttributeJudged(
            Shift.RULES.features().get(0),
            4,
            Verdict.UNDERSIZE,
            Order.Attribute.Found.DOES_NOT_ENTER,
            "head",
            "sam",
            PartContext.NONE);
    names.put(found.getClass(), DecisionCodec.encode(found).kind());
    assertThat(DecisionCodec.encode(found).body())
        .contains("\"verdict\":\"undersize\"", "\"found\":\"does-not-enter\"")
        .doesNotContain("\"value\"");
    assertThat(names.keySet()).isEqualTo(EventCodecTest.leaves(Decision.class));
    assertThat(names.values()).doesNotHaveDuplicates();
  }
}
