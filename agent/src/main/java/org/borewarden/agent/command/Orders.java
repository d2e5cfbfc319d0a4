package org.borewarden.agent.command;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;

/** The fields of each order. */
final class Orders {
  private static final int HIGHEST_HOLD = 65_535;
  private static final int LONGEST_BYPASS_MINUTES = 60;
  private static final int LONGEST_SHELVING_MINUTES = 1440;
  private static final int MOST_TRIAL_PARTS = 50;
  private static final long HIGHEST_PART = 0xFFFF_FFFFL;
  private static final List<String> NEEDED = List.of("yes", "no", "unknown");
  private static final List<String> CONTAIN = List.of("measured", "quarantined", "scrapped");
  private static final List<String> DISTURBED = List.of("dropped", "battery", "head", "other");
  private static final List<String> KINDS = List.of("end-of-part", "next-safe-point");

  private static final List<String> FOUND = List.of("does-not-enter", "go", "no-go-enters");

  private static final List<String> EXPECTED = List.of("undersize", "within", "oversize");

  private Orders() {}

  static Order read(CommandName name, Fields fields) throws FieldException {
    return switch (name) {
      case RELEASE -> release(fields);
      case BYPASS -> bypass(fields);
      case END_BYPASS -> new Order.EndBypass(cell(fields));
      case HEARD -> new Order.Heard(cell(fields), hold(fields), kind(fields));
      case STOPPED -> new Order.Stopped(cell(fields));
      case CONTEXT -> new Order.Context(cell(fields), context(fields));
      case TOOL_CHANGED -> new Order.ToolChanged(cell(fields), fields.optionalWord("tool"));
      case OFFSET ->
          new Order.OffsetEntered(
              cell(fields), fields.optionalWord("tool"), fields.length("diameter"));
      case TEMPERATURE -> temperature(fields);
      case DISCARD -> new Order.Discard(fields.word("feature"), seq(fields), fields.word("reason"));
      case MEASURE_AGAIN ->
          new Order.MeasureAgain(fields.word("feature"), fields.optionalWord("place"));
      case NEXT_PART -> new Order.NextPart(fields.word("feature"));
      case ATTRIBUTE ->
          new Order.Attribute(
              fields.word("feature"), found(fields.oneOf("found", FOUND)), fields.word("reason"));
      case SKIP -> new Order.Skip(fields.word("feature"), fields.word("reason"));
      case REWORK -> new Order.Rework(fields.word("feature"), seq(fields), fields.word("reason"));
      case CHALLENGE ->
          new Order.Challenge(
              fields.word("feature"),
              expected(fields.oneOf("expected", EXPECTED)),
              fields.word("reason"));
      case FIRST_OFF -> new Order.FirstOff(cell(fields), fields.word("reason"));
      case CORRECT_SERIAL ->
          new Order.CorrectSerial(
              fields.word("feature"), seq(fields), fields.word("serial"), fields.word("reason"));
      case CONCESSION -> concession(fields);
      case HAND_OVER -> new Order.HandOver(cell(fields), fields.optionalWord("to"));
      case RING_CHECK -> new Order.RingCheck(fields.word("gauge"), fields.optionalWord("ring"));
      case MASTERED -> new Order.Mastered(fields.word("gauge"), fields.optionalWord("ring"));
      case GAUGE_DISTURBED ->
          new Order.GaugeDisturbed(fields.word("gauge"), fields.oneOf("what", DISTURBED));
      case STEP_BACK -> new Order.StepBack(fields.word("gauge"), fields.word("reason"));
      case STEP_FORWARD -> new Order.StepForward(fields.word("gauge"), fields.word("reason"));
      case ASK -> new Order.Ask(fields.word("gauge"));
      case CLOSE_BATCH -> new Order.CloseBatch(cell(fields), fields.word("reason"));
      case WITHDRAW_CONCESSION ->
          new Order.WithdrawConcession(
              fields.word("feature"), fields.word("serial"), fields.word("reason"));
      case ACKNOWLEDGE -> new Order.Acknowledge(fields.word("alert"));
      case SHELVE ->
          new Order.Shelve(
              fields.word("alert"),
              (int) fields.whole("minutes", 1, LONGEST_SHELVING_MINUTES),
              fields.word("reason"));
      case UNSHELVE -> new Order.Unshelve(fields.word("alert"));
      case OUT_OF_SERVICE -> new Order.OutOfService(fields.word("alert"), fields.word("reason"));
      case BACK_IN_SERVICE -> new Order.BackInService(fields.word("alert"));
      case CONFIRM ->
          new Order.Confirm(cell(fields), hold(fields), revision(fields), fields.uuid7("confirms"));
      case CELL_TEST -> new Order.CellTest(cell(fields));
      case SEND_AGAIN ->
          new Order.SendAgain(
              fields.whole("from", 1, Long.MAX_VALUE), fields.whole("to", 1, Long.MAX_VALUE));
      case ADOPT_JOURNAL -> new Order.AdoptJournal(fields.word("reason"));
      case RELOAD -> new Order.Reload();
      case ASK_HOLD -> new Order.AskHold(cell(fields), fields.word("reason"));
    };
  }

  private static Optional<Long> seq(Fields fields) throws FieldException {
    return fields.optionalWhole("seq", 1, Long.MAX_VALUE);
  }

  private static Verdict expected(String word) {
    return switch (word) {
      case "undersize" -> Verdict.UNDERSIZE;
      case "oversize" -> Verdict.OVERSIZE;
      default -> Verdict.WITHIN;
    };
  }

  private static Order concession(Fields fields) throws FieldException {
    Order.Concession asked =
        new Order.Concession(
            fields.word("feature"),
            fields.words("serials"),
            fields.optionalLength("lower"),
            fields.optionalLength("upper"),
            fields.date("until"),
            fields.word("authority"),
            fields.word("reason"));
    if (asked.serials().isEmpty()) {
      throw new FieldException(
          AnswerCode.MALFORMED, "'serials': expected the parts that are meant, found none");
    }
    if (asked.lower().isEmpty() && asked.upper().isEmpty()) {
      throw new FieldException(
          AnswerCode.MALFORMED, "expected a limit: 'lower' or 'upper', found none");
    }
    return asked;
  }

  private static Order.Attribute.Found found(String word) {
    return switch (word) {
      case "does-not-enter" -> Order.Attribute.Found.DOES_NOT_ENTER;
      case "go" -> Order.Attribute.Found.GO;
      default -> Order.Attribute.Found.NO_GO_ENTERS;
    };
  }

  private static Order release(Fields fields) throws FieldException {
    return new Order.Release(
        cell(fields),
        hold(fields),
        revision(fields),
        fields.word("reason"),
        fields.oneOf("needed", NEEDED),
        fields.wholes("evidence"),
        fields.optionalOneOf("contain", CONTAIN),
        fields
            .optionalWhole("parts", 1, MOST_TRIAL_PARTS)
            .map(parts -> OptionalInt.of(parts.intValue()))
            .orElse(OptionalInt.empty()));
  }

  private static Order bypass(Fields fields) throws FieldException {
    List<String> causes = fields.words("causes");
    if (causes.isEmpty()) {
      throw new FieldException(
          AnswerCode.MALFORMED, "'causes': expected the causes that are excepted, found none");
    }
    return new Order.Bypass(
        cell(fields),
        hold(fields),
        revision(fields),
        causes,
        (int) fields.whole("minutes", 1, LONGEST_BYPASS_MINUTES),
        fields.word("reason"));
  }

  private static Order temperature(Fields fields) throws FieldException {
    Order.Temperature said =
        new Order.Temperature(
            fields.word("gauge"),
            fields.optionalCelsius("part"),
            fields.optionalCelsius("ring"),
            fields.optionalCelsius("body"));
    if (said.part().isEmpty() && said.ring().isEmpty() && said.body().isEmpty()) {
      throw new FieldException(
          AnswerCode.MALFORMED, "expected a temperature: 'part', 'ring' or 'body', found none");
    }
    return said;
  }

  private static String cell(Fields fields) throws FieldException {
    return fields.word("cell");
  }

  private static int hold(Fields fields) throws FieldException {
    return (int) fields.whole("hold", 0, HIGHEST_HOLD);
  }

  private static int revision(Fields fields) throws FieldException {
    return (int) fields.whole("revision", 0, Integer.MAX_VALUE);
  }

  private static StopKind kind(Fields fields) throws FieldException {
    return fields.oneOf("kind", KINDS).equals("end-of-part")
        ? StopKind.END_OF_PART
        : StopKind.NEXT_SAFE_POINT;
  }

  private static PartContext context(Fields fields) throws FieldException {
    Optional<Long> part = fields.optionalWhole("part", 0, HIGHEST_PART);
    return new PartContext(
        part.map(OptionalLong::of).orElse(OptionalLong.empty()),
        fields.optionalWord("serial"),
        fields.optionalWord("tool"),
        fields.optionalWord("spindle"),
        fields.optionalWord("fixture"),
        fields.optionalWord("operator"),
        fields.optionalWord("batch"),
        fields.optionalWord("feature"));
  }
}
