package org.borewarden.agent.command;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.borewarden.agent.payload.PayloadSchemas;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Phase;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * The published schema of the commands against the reader: what one takes the other takes, with a
 * field too many, a field too few, and each field of another type or beyond its limit.
 */
class CommandSchemaTest {
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Instant NOW = Instant.parse("2026-03-02T14:05:06.789Z");
  private static final Map<CommandName, String> WHOLE = whole();

  private final CommandReader reader = new CommandReader(() -> NOW, () -> false, true);

  @Test
  void everyCommandHasItsDefinition() {
    Set<String> defined = new TreeSet<>();
    PayloadSchemas.document("command").get("$defs").fieldNames().forEachRemaining(defined::add);
    Set<String> known = new TreeSet<>();
    WHOLE.keySet().forEach(name -> known.add(name.key()));
    assertThat(defined).isEqualTo(known).hasSize(CommandName.values().length);
  }

  @ParameterizedTest
  @EnumSource(CommandName.class)
  void theSchemaTakesWhatTheReaderTakes(CommandName name) throws Exception {
    ObjectNode whole = order(name);
    assertThat(schema(name, whole)).as("%s %s", name, whole).isEmpty();
    assertThat(taken(name, whole)).as("%s %s", name, whole).isTrue();
    Set<String> named = new TreeSet<>();
    PayloadSchemas.document("command#/$defs/" + name.key())
        .get("properties")
        .fieldNames()
        .forEachRemaining(named::add);
    Set<String> used = new TreeSet<>();
    whole.fieldNames().forEachRemaining(used::add);
    assertThat(used).as("the example has every field").isEqualTo(named);
  }

  @ParameterizedTest
  @EnumSource(CommandName.class)
  void whatIsWrongForOneIsWrongForTheOther(CommandName name) throws Exception {
    int refused = 0;
    for (ObjectNode other : others(order(name))) {
      boolean valid = schema(name, other).isEmpty();
      assertThat(taken(name, other)).as("%s %s", name, other).isEqualTo(valid);
      refused += valid ? 0 : 1;
    }
    assertThat(refused).as("changes that are refused").isPositive();
  }

  @Test
  void everyAnswerIsAsItsSchemaSays() {
    for (AnswerCode code : AnswerCode.values()) {
      String whole =
          AnswerText.answered(
              new Decision.CommandAnswered("id-1", code, Optional.of("cell-4"), 3, 14, "words"),
              71,
              Optional.of(Phase.NOT_READY));
      String bare =
          AnswerText.answered(
              new Decision.CommandAnswered("id-1", code, Optional.empty(), 0, 0, ""),
              71,
              Optional.empty());
      for (String answer : List.of(whole, bare, AnswerText.refused(Optional.empty(), code, ""))) {
        assertThat(PayloadSchemas.problems("answer", answer)).as(answer).isEmpty();
      }
    }
  }

  private static List<ObjectNode> others(ObjectNode whole) {
    List<ObjectNode> all = new ArrayList<>();
    all.add(whole.deepCopy().put("surplus", "x"));
    whole
        .fieldNames()
        .forEachRemaining(
            field -> {
              all.add(whole.deepCopy().without(List.of(field)));
              all.add(whole.deepCopy().put(field, true));
              all.add(whole.deepCopy().put(field, -1));
              all.add(whole.deepCopy().put(field, 70_000_000_000L));
              all.add(whole.deepCopy().put(field, 1.5));
              all.add(whole.deepCopy().put(field, "x".repeat(300)));
              all.add(whole.deepCopy().put(field, ""));
              ObjectNode list = whole.deepCopy();
              list.putArray(field);
              all.add(list);
            });
    return all;
  }

  private static List<String> schema(CommandName name, ObjectNode command) {
    return PayloadSchemas.problems("command#/$defs/" + name.key(), command.toString());
  }

  /** What a role may not ask is well-formed all the same. */
  private boolean taken(CommandName name, ObjectNode command) {
    ByteBuffer text = ByteBuffer.wrap(command.toString().getBytes(StandardCharsets.UTF_8));
    CommandText read = reader.read(name, new Sender(Role.SUPERVISOR, "topic", true), text);
    return read instanceof CommandText.Read
        || ((CommandText.Refused) read).code() == AnswerCode.NO_RIGHT;
  }

  private static ObjectNode order(CommandName name) throws Exception {
    ObjectNode order =
        (ObjectNode) JSON.readTree(Objects.requireNonNull(WHOLE.get(name)).replace('\'', '"'));
    JsonNode common =
        JSON.readTree(
            ("{'id':'0195570a-7c00-7abc-8def-0123456789ab','issued':'2026-03-02T14:05:00Z',"
                    + "'who':'m-alvarez','challenge':'x7','text':'new insert',"
                    + "'answer_to':'office/answers'}")
                .replace('\'', '"'));
    order.setAll((ObjectNode) common);
    return order;
  }

  private static Map<CommandName, String> whole() {
    String hold = "'cell':'cell-4','hold':3,'revision':9";
    Map<CommandName, String> all = new EnumMap<>(CommandName.class);
    all.put(
        CommandName.RELEASE,
        "{"
            + hold
            + ",'reason':'insert-changed','needed':'yes','evidence':[41,44],"
            + "'contain':'measured','parts':2}");
    all.put(
        CommandName.BYPASS,
        "{" + hold + ",'causes':['oversize/bearing-seat'],'minutes':15,'reason':'urgent'}");
    all.put(CommandName.END_BYPASS, "{'cell':'cell-4'}");
    all.put(CommandName.HEARD, "{'cell':'cell-4','hold':3,'kind':'end-of-part'}");
    all.put(CommandName.STOPPED, "{'cell':'cell-4'}");
    all.put(
        CommandName.CONTEXT,
        "{'cell':'cell-4','part':7,'serial':'A-7','tool':'7','spindle':'2','fixture':'p4',"
            + "'operator':'op-3','batch':'lot 9','feature':'bearing-seat'}");
    all.put(CommandName.TOOL_CHANGED, "{'cell':'cell-4','tool':'7'}");
    all.put(CommandName.OFFSET, "{'cell':'cell-4','tool':'7','diameter':'-0.004 mm'}");
    all.put(
        CommandName.TEMPERATURE,
        "{'gauge':'bore-1','part':'31.5 degC','ring':'20 degC','body':'-0.5 degC'}");
    all.put(CommandName.DISCARD, "{'feature':'bearing-seat','seq':77,'reason':'chip'}");
    all.put(CommandName.MEASURE_AGAIN, "{'feature':'bearing-seat','place':'entry/90'}");
    all.put(CommandName.NEXT_PART, "{'feature':'bearing-seat'}");
    all.put(
        CommandName.ATTRIBUTE,
        "{'feature':'bearing-seat','found':'does-not-enter','reason':'head'}");
    all.put(CommandName.SKIP, "{'feature':'bearing-seat','reason':'chips'}");
    all.put(CommandName.REWORK, "{'feature':'bearing-seat','seq':512,'reason':'recut'}");
    all.put(
        CommandName.CHALLENGE, "{'feature':'bearing-seat','expected':'oversize','reason':'M-7'}");
    all.put(CommandName.FIRST_OFF, "{'cell':'cell-4','reason':'program'}");
    all.put(
        CommandName.CORRECT_SERIAL,
        "{'feature':'bearing-seat','seq':512,'serial':'A-9','reason':'wrong part scanned'}");
    all.put(
        CommandName.CONCESSION,
        "{'feature':'bearing-seat','serials':['A-7','A-8'],'lower':'61.995 mm',"
            + "'upper':'62.035 mm','until':'2026-06-30','authority':'QN-118','reason':'agreed'}");
    all.put(CommandName.HAND_OVER, "{'cell':'cell-4','to':'kim'}");
    all.put(CommandName.RING_CHECK, "{'gauge':'bore-1','ring':'R62'}");
    all.put(CommandName.MASTERED, "{'gauge':'bore-1','ring':'R62'}");
    all.put(CommandName.GAUGE_DISTURBED, "{'gauge':'bore-1','what':'dropped'}");
    all.put(CommandName.ASK, "{'gauge':'bore-1'}");
    all.put(CommandName.CLOSE_BATCH, "{'cell':'cell-4','reason':'order-complete'}");
    all.put(
        CommandName.WITHDRAW_CONCESSION,
        "{'feature':'bearing-seat','serial':'A-7','reason':'changed'}");
    all.put(CommandName.STEP_FORWARD, "{'gauge':'bore-1','reason':'chips'}");
    all.put(CommandName.STEP_BACK, "{'gauge':'bore-1','reason':'dirt'}");
    all.put(CommandName.ACKNOWLEDGE, "{'alert':'oversize.bearing-seat'}");
    all.put(CommandName.SHELVE, "{'alert':'run.bearing-seat','minutes':60,'reason':'known'}");
    all.put(CommandName.UNSHELVE, "{'alert':'run.bearing-seat'}");
    all.put(CommandName.OUT_OF_SERVICE, "{'alert':'run.bearing-seat','reason':'cable broken'}");
    all.put(CommandName.BACK_IN_SERVICE, "{'alert':'run.bearing-seat'}");
    all.put(
        CommandName.CONFIRM, "{" + hold + ",'confirms':'0195570a-7c00-7abc-8def-0123456789ac'}");
    all.put(CommandName.CELL_TEST, "{'cell':'cell-4'}");
    all.put(CommandName.SEND_AGAIN, "{'from':17,'to':400}");
    all.put(CommandName.ADOPT_JOURNAL, "{'reason':'restored'}");
    all.put(CommandName.RELOAD, "{}");
    all.put(CommandName.ASK_HOLD, "{'cell':'cell-4','reason':'upgrade'}");
    return all;
  }
}
