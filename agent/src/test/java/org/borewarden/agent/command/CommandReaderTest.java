package org.borewarden.agent.command;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Random;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CommandReaderTest {
  private static final String ID = "0195570a-7c00-7abc-8def-0123456789ab";
  private static final Instant NOW = Instant.parse("2026-03-02T14:05:06.789Z");
  private static final Sender SUPERVISOR = new Sender(Role.SUPERVISOR, "topic:supervisor", true);
  private static final Sender QUALITY = new Sender(Role.QUALITY, "key:q-1", true);
  private static final Sender CELL = new Sender(Role.CELL, "topic:cell", true);

  private final CommandReader reader = new CommandReader(() -> NOW, () -> true);

  @Test
  void aReleaseIsReadWithAllItsFields() {
    Command command =
        good(
            CommandName.RELEASE,
            SUPERVISOR,
            "{'id':'"
                + ID
                + "','issued':'2026-03-02T14:05:00Z','cell':'cell-4','hold':3,'revision':9,"
                + "'challenge':'x7','who':'m.weber','reason':'insert-changed','text':'new insert',"
                + "'needed':'yes','evidence':[41,44],'contain':'measured','parts':2}");
    assertThat(command)
        .isEqualTo(
            new Command(
                ID,
                Role.SUPERVISOR,
                "topic:supervisor",
                Optional.of("m.weber"),
                Optional.of(Instant.parse("2026-03-02T14:05:00Z")),
                Optional.of("x7"),
                Optional.of("new insert"),
                new Order.Release(
                    "cell-4",
                    3,
                    9,
                    "insert-changed",
                    "yes",
                    List.of(41L, 44L),
                    Optional.of("measured"),
                    OptionalInt.of(2))));
  }

  @Test
  void qualityAsksForASecondPersonsWordOnlyWhereThatIsAllowed() {
    String release =
        "{'id':'"
            + ID
            + "','cell':'cell-4','hold':3,'revision':9,'challenge':'x7','who':'m.weber',"
            + "'reason':'looked','needed':'no'}";
    ByteBuffer text = ByteBuffer.wrap(release.replace('\'', '"').getBytes(StandardCharsets.UTF_8));
    CommandReader two = new CommandReader(() -> NOW, () -> true, true);
    assertThat(reader.read(CommandName.RELEASE, QUALITY, text.duplicate()))
        .isInstanceOfSatisfying(
            CommandText.Refused.class,
            refused -> assertThat(refused.code()).isEqualTo(AnswerCode.NO_RIGHT));
    assertThat(two.read(CommandName.RELEASE, QUALITY, text.duplicate()))
        .isInstanceOf(CommandText.Read.class);
    Sender setter = new Sender(Role.SETTER, "key:s-1", true);
    assertThat(two.read(CommandName.RELEASE, setter, text.duplicate()))
        .isInstanceOfSatisfying(
            CommandText.Refused.class,
            refused -> assertThat(refused.code()).isEqualTo(AnswerCode.NO_RIGHT));
  }

  @Test
  void everyOtherOrderIsReadToo() {
    assertThat(
            order(
                CommandName.BYPASS,
                SUPERVISOR,
                "'cell':'c','hold':1,'revision':2,'causes':['run/f'],'minutes':15,'reason':'trial','who':'w','challenge':'x'"))
        .isEqualTo(new Order.Bypass("c", 1, 2, List.of("run/f"), 15, "trial"));
    assertThat(order(CommandName.MEASURE_AGAIN, SUPERVISOR, "'feature':'f','place':'entry/90'"))
        .isEqualTo(new Order.MeasureAgain("f", Optional.of("entry/90")));
    assertThat(
            order(
                CommandName.ATTRIBUTE,
                SUPERVISOR,
                "'feature':'f','found':'no-go-enters','reason':'plug'"))
        .isEqualTo(new Order.Attribute("f", Order.Attribute.Found.NO_GO_ENTERS, "plug"));
    assertThat(order(CommandName.SKIP, SUPERVISOR, "'feature':'f','reason':'chips'"))
        .isEqualTo(new Order.Skip("f", "chips"));
    assertThat(order(CommandName.NEXT_PART, SUPERVISOR, "'feature':'f'"))
        .isEqualTo(new Order.NextPart("f"));
    assertThat(order(CommandName.RING_CHECK, SUPERVISOR, "'gauge':'g'"))
        .isEqualTo(new Order.RingCheck("g", Optional.empty()));
    assertThat(order(CommandName.MASTERED, SUPERVISOR, "'gauge':'g','ring':'R62'"))
        .isEqualTo(new Order.Mastered("g", Optional.of("R62")));
    assertThat(order(CommandName.GAUGE_DISTURBED, SUPERVISOR, "'gauge':'g','what':'dropped'"))
        .isEqualTo(new Order.GaugeDisturbed("g", "dropped"));
    assertThat(order(CommandName.STEP_FORWARD, SUPERVISOR, "'gauge':'g','reason':'chips'"))
        .isEqualTo(new Order.StepForward("g", "chips"));
    assertThat(order(CommandName.ASK, SUPERVISOR, "'gauge':'g'")).isEqualTo(new Order.Ask("g"));
    assertThat(order(CommandName.CLOSE_BATCH, SUPERVISOR, "'cell':'c','reason':'done'"))
        .isEqualTo(new Order.CloseBatch("c", "done"));
    assertThat(order(CommandName.STEP_BACK, SUPERVISOR, "'gauge':'g','reason':'dirt'"))
        .isEqualTo(new Order.StepBack("g", "dirt"));
    assertThat(order(CommandName.UNSHELVE, SUPERVISOR, "'alert':'run/f'"))
        .isEqualTo(new Order.Unshelve("run/f"));
    assertThat(order(CommandName.OUT_OF_SERVICE, QUALITY, "'alert':'run/f','reason':'cable'"))
        .isEqualTo(new Order.OutOfService("run/f", "cable"));
    assertThat(order(CommandName.BACK_IN_SERVICE, QUALITY, "'alert':'run/f'"))
        .isEqualTo(new Order.BackInService("run/f"));
    assertThat(
            order(
                CommandName.CONFIRM,
                QUALITY,
                "'cell':'c','hold':1,'revision':2,'confirms':'"
                    + ID
                    + "','who':'w','challenge':'x'"))
        .isEqualTo(new Order.Confirm("c", 1, 2, ID));
    assertThat(order(CommandName.END_BYPASS, SUPERVISOR, "'cell':'c'"))
        .isEqualTo(new Order.EndBypass("c"));
    assertThat(order(CommandName.HEARD, CELL, "'cell':'c','hold':4,'kind':'next-safe-point'"))
        .isEqualTo(new Order.Heard("c", 4, StopKind.NEXT_SAFE_POINT));
    assertThat(order(CommandName.STOPPED, CELL, "'cell':'c'")).isEqualTo(new Order.Stopped("c"));
    assertThat(
            order(
                CommandName.CONTEXT,
                CELL,
                "'cell':'c','part':7,'serial':'A-7','tool':'T12','feature':'f'"))
        .isEqualTo(
            new Order.Context(
                "c",
                new PartContext(
                    OptionalLong.of(7),
                    Optional.of("A-7"),
                    Optional.of("T12"),
                    Optional.empty(),
                    Optional.empty(),
                    Optional.empty(),
                    Optional.empty(),
                    Optional.of("f"))));
    assertThat(order(CommandName.TOOL_CHANGED, CELL, "'cell':'c','tool':'T12'"))
        .isEqualTo(new Order.ToolChanged("c", Optional.of("T12")));
    assertThat(order(CommandName.DISCARD, CELL, "'feature':'f','reason':'slip'"))
        .isEqualTo(new Order.Discard("f", Optional.empty(), "slip"));
    assertThat(order(CommandName.ACKNOWLEDGE, SUPERVISOR, "'alert':'run/f'"))
        .isEqualTo(new Order.Acknowledge("run/f"));
    assertThat(order(CommandName.SHELVE, SUPERVISOR, "'alert':'run/f','minutes':60,'reason':'r'"))
        .isEqualTo(new Order.Shelve("run/f", 60, "r"));
    assertThat(order(CommandName.ASK_HOLD, SUPERVISOR, "'cell':'c','reason':'upgrade'"))
        .isEqualTo(new Order.AskHold("c", "upgrade"));
    assertThat(
            order(
                CommandName.SEND_AGAIN, new Sender(Role.IT, "topic:it", true), "'from':17,'to':99"))
        .isEqualTo(new Order.SendAgain(17, 99));
    assertThat(
            order(
                CommandName.ADOPT_JOURNAL,
                new Sender(Role.IT, "topic:it", true),
                "'reason':'restored'"))
        .isEqualTo(new Order.AdoptJournal("restored"));
  }

  @ParameterizedTest
  @CsvSource({
    "-0.004 mm,-4000000",
    "0.0002 in,5080000",
    "12 um,12000000",
    "1 uin,25400",
  })
  void anOffsetIsExact(String text, long picometres) {
    assertThat(order(CommandName.OFFSET, CELL, "'cell':'c','diameter':'" + text + "'"))
        .isEqualTo(new Order.OffsetEntered("c", Optional.empty(), new Length(picometres)));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "'diameter':'0,004 mm' | expected a decimal number, found '0,004'",
        "'diameter':'0.004' | expected a length with its unit",
        "'diameter':0.004 | expected a text, found 0.004",
        "'diameter':'1e9 mm' | expected a decimal number",
        "'diameter':'0.0000000001 mm' | is not a decimal of whole picometres",
        "'diameter':'99999999999999999 in' | is not a decimal of whole picometres",
      })
  void anOffsetThatIsNoLengthIsRefusedInWords(String field, String words) {
    assertRefused(CommandName.OFFSET, CELL, "'cell':'c'," + field, AnswerCode.MALFORMED, words);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "{'id':'0195570a-7c00-4abc-8def-0123456789ab','cell':'c'} | expected a UUID of version 7",
        "{'id':7,'cell':'c'} | 'id': expected a text, found 7",
        "{'cell':'c'} | missing field 'id'",
        "{'id':'@'} | missing field 'cell'",
        "{'id':'@','cell':'c','sell':'d'} | unknown field [sell]; known are",
        "{'id':'@','cell':'c','cell':'d'} | Duplicate",
        "{'id':'@','cell':'c'} x | not JSON",
        "{'id':'@','cell':'c'}{} | not JSON",
        "[1] | expected a JSON object",
        "{'id':'@','cell':[[[[[[1]]]]]]} | nesting depth",
        "{'id':'@','cell':'' } | expected a text, found none",
        "{'id':'@','cell':'a\\u0007' } | holds a control character",
        "{'id':'@','cell':'c','issued':'yesterday'} | expected a time such as",
      })
  void whatIsMalformedIsRefusedWithWhatWasExpected(String text, String words) {
    CommandText read = reader.read(CommandName.STOPPED, CELL, bytes(text.replace("@", ID)));
    assertThat(read).isInstanceOf(CommandText.Refused.class);
    CommandText.Refused refused = (CommandText.Refused) read;
    assertThat(refused.code()).isEqualTo(AnswerCode.MALFORMED);
    assertThat(refused.detail()).contains(words);
  }

  @Test
  void whatIsOverALimitIsRefusedAsSuch() {
    AnswerCode code = AnswerCode.OVER_LIMIT;
    String release =
        "'cell':'c','hold':1,'revision':2,'reason':'r','needed':'yes','who':'w','challenge':'x'";
    assertRefused(
        CommandName.RELEASE,
        SUPERVISOR,
        release + ",'text':'" + "x".repeat(201) + "'",
        code,
        "201 characters, at most 200");
    assertRefused(CommandName.RELEASE, SUPERVISOR, release + ",'parts':51", code, "at most 50");
    assertRefused(
        CommandName.SHELVE,
        SUPERVISOR,
        "'alert':'a','minutes':1441,'reason':'r'",
        code,
        "at most 1440, found 1441");
    assertRefused(
        CommandName.BYPASS,
        SUPERVISOR,
        "'cell':'c','hold':1,'revision':2,'causes':['k'],'minutes':61,'reason':'r','who':'w','challenge':'x'",
        code,
        "at most 60, found 61");
    assertRefused(
        CommandName.STOPPED, CELL, "'cell':'" + "x".repeat(5000) + "'", code, "at most 4096");
  }

  @Test
  void aReleaseMustNameAPersonAndQuoteTheChallenge() {
    String release = "'cell':'c','hold':1,'revision':2,'reason':'r','needed':'yes'";
    assertRefused(
        CommandName.RELEASE,
        SUPERVISOR,
        release + ",'challenge':'x'",
        AnswerCode.MALFORMED,
        "missing field 'who'");
    assertRefused(
        CommandName.RELEASE,
        SUPERVISOR,
        release + ",'who':'w'",
        AnswerCode.MALFORMED,
        "missing field 'challenge'");
    Sender local = new Sender(Role.SUPERVISOR, "user:mara", false);
    assertThat(order(CommandName.RELEASE, local, release + ",'who':'w'"))
        .isInstanceOf(Order.Release.class);
  }

  @Test
  void aRoleWithoutTheRightIsRefused() {
    Sender setter = new Sender(Role.SETTER, "topic:setter", true);
    String release =
        "'cell':'c','hold':1,'revision':2,'reason':'r','needed':'yes','who':'w','challenge':'x'";
    assertRefused(
        CommandName.RELEASE,
        setter,
        release,
        AnswerCode.NO_RIGHT,
        "the role setter may not release without evidence");
    assertThat(order(CommandName.RELEASE, setter, release + ",'evidence':[3]"))
        .isInstanceOf(Order.Release.class);
    assertRefused(
        CommandName.STOPPED,
        setter,
        "'cell':'c'",
        AnswerCode.NO_RIGHT,
        "the role setter may not stopped");
  }

  @Test
  void anOldCommandIsStaleOnlyWhereTheClockIsSynchronised() {
    String old = "'cell':'c','issued':'2026-03-02T14:04:36Z'";
    assertRefused(CommandName.STOPPED, CELL, old, AnswerCode.STALE, "is 30 s ago, at most 30 s");
    assertRefused(
        CommandName.STOPPED,
        CELL,
        "'cell':'c','issued':'2026-03-02T14:06:00Z'",
        AnswerCode.STALE,
        "ago");
    CommandReader unsure = new CommandReader(() -> NOW, () -> false);
    assertThat(unsure.read(CommandName.STOPPED, CELL, bytes("{'id':'" + ID + "'," + old + "}")))
        .isInstanceOf(CommandText.Read.class);
  }

  @Test
  void noBytesMakeTheReaderThrowAndNoneOfThemMakeAnOrder() {
    long seed = 20_260_302L;
    Random random = new Random(seed);
    byte[] whole = ("{\"id\":\"" + ID + "\",\"cell\":\"c\"}").getBytes(StandardCharsets.UTF_8);
    for (int round = 0; round < 20_000; round++) {
      byte[] bytes = whole.clone();
      for (int hits = 1 + random.nextInt(3); hits > 0; hits--) {
        bytes[random.nextInt(bytes.length)] = (byte) random.nextInt(256);
      }
      CommandText read = reader.read(CommandName.STOPPED, CELL, ByteBuffer.wrap(bytes));
      if (read instanceof CommandText.Read good) {
        // Only the id's digits or the cell's name can change and still be a command.
        assertThat(good.command().order()).as("seed %d", seed).isInstanceOf(Order.Stopped.class);
        assertThat(good.command().id()).hasSize(36);
      }
    }
  }

  private void assertRefused(
      CommandName name, Sender sender, String fields, AnswerCode code, String words) {
    CommandText read = reader.read(name, sender, bytes("{'id':'" + ID + "'," + fields + "}"));
    assertThat(read).isInstanceOf(CommandText.Refused.class);
    CommandText.Refused refused = (CommandText.Refused) read;
    assertThat(refused.detail()).contains(words);
    assertThat(refused.code()).isEqualTo(code);
  }

  private Order order(CommandName name, Sender sender, String fields) {
    return good(name, sender, "{'id':'" + ID + "'," + fields + "}").order();
  }

  private Command good(CommandName name, Sender sender, String text) {
    CommandText read = reader.read(name, sender, bytes(text));
    assertThat(read).isInstanceOf(CommandText.Read.class);
    return ((CommandText.Read) read).command();
  }

  private static ByteBuffer bytes(String text) {
    return ByteBuffer.wrap(text.replace('\'', '"').getBytes(StandardCharsets.UTF_8));
  }
}
