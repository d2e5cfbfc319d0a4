package org.borewarden.agent.payload;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.annotation.JsonUnwrapped;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.PropertyNamingStrategies;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.borewarden.agent.command.CommandName;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Effect;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Phase;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.SizeRule;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The published schemas against the code, both ways: what the codecs write is valid, and a schema
 * names what the records have and no more.
 */
class PayloadSchemaTest {
  private static final int EVENTS = 1500;
  private static final Envelope ENVELOPE = new Envelope("northworks-cell-4", "j-1");
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final Set<String> ENVELOPED =
      Set.of("agent", "journal", "seq", "prev", "at", "rules");

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 20260504})
  void whatARandomShiftPublishesIsValid(long seed) {
    Map<String, Integer> seen = new LinkedHashMap<>();
    RandomShift shift = new RandomShift(seed);
    State state = State.initial();
    long seq = 0;
    for (int i = 0; i < EVENTS; i++) {
      Stamped stamped = new Stamped(seq + 1, shift.later(), shift.next(state));
      Step step = Engine.step(state, stamped);
      seq = stamped.seq() + step.decisions().size();
      shift.saw(stamped.seq(), step);
      state = step.next();
      for (Published one : published(stamped, step)) {
        assertThat(PayloadSchemas.problems(one.schema(), one.payload()))
            .as("seed %d, event %d: %s %s", seed, i, one.schema(), one.payload())
            .isEmpty();
        seen.merge(one.schema(), 1, Integer::sum);
      }
    }
    assertThat(seen).containsKeys("reading", "rejected", "verdict", "verdict-discarded", "alert");
    assertThat(seen).containsKeys("recheck", "hold", "trend", "gauge");
  }

  @Test
  void aVerdictWithoutANumberAndAReadingThatIsNotBelievedAreValid() {
    for (Decision decision :
        List.of(
            new Decision.AttributeJudged(
                Shift.RULES.features().get(0),
                4,
                Verdict.OVERSIZE,
                Order.Attribute.Found.NO_GO_ENTERS,
                "plug",
                "sam",
                Samples.ALL),
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
                "expected about 62 mm"))) {
      Published one = record(DecisionCodec.encode(decision), 7, "r1");
      assertThat(PayloadSchemas.problems(one.schema(), one.payload())).as(one.payload()).isEmpty();
    }
  }

  @Test
  void anEventOfEveryKindThatIsPublishedIsValid() {
    for (Event event : Samples.events()) {
      Coded coded = EventCodec.encode(event);
      if (coded.topic().isPresent()) {
        Published one = record(coded, 7, "r1");
        assertThat(PayloadSchemas.problems(one.schema(), one.payload()))
            .as(one.payload())
            .isEmpty();
      }
    }
  }

  @ParameterizedTest(name = "{0} is {1}")
  @CsvSource({
    "reading,ReadingPayload",
    "reading-corrected,CorrectedPayload",
    "rejected,RejectedPayload",
    "verdict,VerdictPayload",
    "verdict-discarded,RevisedPayload",
    "verdict-attribute,AttributePayload",
    "recheck,RecheckPayload",
    "alert,AlertPayload",
    "hold,StatePayloads$HoldState",
    "gauge,StatePayloads$GaugeState",
    "trend,StatePayloads$TrendState"
  })
  void aSchemaNamesTheMembersOfItsRecordAndNoOthers(String schema, String type) throws Exception {
    JsonNode document = PayloadSchemas.document(schema);
    compare(schema, document, Class.forName(getClass().getPackageName() + "." + type));
  }

  @Test
  void theAgentOnlineHasTheMembersOfItsRecord() throws Exception {
    compare(
        "agent",
        PayloadSchemas.document("agent").at("/oneOf/0"),
        Class.forName(getClass().getPackageName() + ".StatePayloads$AgentState"));
  }

  @Test
  void theWordsOfAListAreThoseOfTheCode() {
    words("verdict", "/properties/verdict", Arrays.stream(Verdict.values()).map(Verdict::key));
    words("verdict", "/properties/unit", Arrays.stream(Unit.values()).map(Unit::symbol));
    words("verdict", "/properties/plan/properties/size", keys(SizeRule.values(), SizeRule::key));
    words("verdict", "/properties/disposition", named(Feature.Disposition.values()));
    words("alert", "/properties/state", keys(AlertState.values(), AlertState::key));
    words("answer", "/properties/code", keys(AnswerCode.values(), AnswerCode::key));
    words("hold", "/properties/state", named(Phase.values()));
    words("hold", "/properties/kind", named(StopKind.values()));
    words("gauge", "/properties/truth/properties/belief", keys(Belief.values(), Belief::key));
  }

  @Test
  void aMemberTooManyOrTooFewIsRefused() throws Exception {
    for (JsonNode line : recorded()) {
      String schema = line.get("schema").textValue();
      ObjectNode payload = (ObjectNode) line.get("payload");
      ObjectNode surplus = payload.deepCopy().put("surplus", 1);
      assertThat(PayloadSchemas.problems(schema, surplus)).as(schema).isNotEmpty();
      for (JsonNode required : PayloadSchemas.document(schema).path("required")) {
        ObjectNode less = payload.deepCopy();
        less.remove(required.textValue());
        assertThat(PayloadSchemas.problems(schema, less))
            .as(schema + " without " + required)
            .isNotEmpty();
      }
    }
  }

  /** What a release has sent and taken stays valid in each later one of the same major version. */
  @Test
  void whatEachReleaseHasSentAndTakenIsStillValid() throws Exception {
    for (JsonNode line : recorded()) {
      assertThat(
              PayloadSchemas.problems(
                  line.get("schema").textValue(), line.get("payload").toString()))
          .as(line.toString())
          .isEmpty();
    }
  }

  @Test
  void everyKindOfPayloadHasARecordedSample() throws Exception {
    Set<String> kinds = new TreeSet<>();
    try (Stream<Path> files = Files.list(Path.of("../docs/schemas"))) {
      files.forEach(file -> kinds.add(file.getFileName().toString().replace(".schema.json", "")));
    }
    assertThat(kinds.remove("command")).isTrue();
    for (CommandName name : CommandName.values()) {
      kinds.add("command#/$defs/" + name.key());
    }
    Set<String> met = new TreeSet<>();
    recorded().forEach(line -> met.add(line.get("schema").textValue()));
    assertThat(met).isEqualTo(kinds);
  }

  private static List<JsonNode> recorded() throws Exception {
    List<JsonNode> lines = new ArrayList<>();
    try (Stream<Path> releases = Files.list(Path.of("src/test/resources/payloads"))) {
      for (Path release : releases.sorted().toList()) {
        for (String line : Files.readAllLines(release, StandardCharsets.UTF_8)) {
          lines.add(JSON.readTree(line));
        }
      }
    }
    return lines;
  }

  private record Published(String schema, String payload) {}

  private static List<Published> published(Stamped stamped, Step step) {
    List<Published> all = new ArrayList<>();
    List<Coded> coded = new ArrayList<>();
    coded.add(EventCodec.encode(stamped.event()));
    step.decisions().forEach(decision -> coded.add(DecisionCodec.encode(decision)));
    for (int i = 0; i < coded.size(); i++) {
      if (coded.get(i).topic().isPresent()) {
        all.add(record(coded.get(i), stamped.seq() + i, step.next().rulesRevision()));
      }
    }
    for (Decision decision : step.decisions()) {
      if (decision instanceof Decision.HoldChanged changed) {
        all.add(
            new Published(
                "hold",
                StatePayloads.hold(
                    "nw-1", step.next().bootId(), changed.hold(), OptionalLong.of(stamped.seq()))));
      }
    }
    for (Effect effect : step.effects()) {
      if (effect instanceof Effect.TrendMoved moved) {
        all.add(new Published("trend", StatePayloads.trend("nw-1", moved.trend(), stamped.at())));
      } else if (effect instanceof Effect.GaugeMoved moved) {
        all.add(new Published("gauge", StatePayloads.gauge("nw-1", moved.gauge(), stamped.at())));
      }
    }
    return all;
  }

  private static Published record(Coded coded, long seq, String rules) {
    Entry entry =
        new Entry(
            seq,
            seq,
            java.time.Instant.parse("2026-05-04T08:00:00Z"),
            coded.kind(),
            coded.topic(),
            0,
            rules,
            coded.body());
    return new Published(PayloadSchemas.ofKind(coded.kind()), ENVELOPE.around(entry).orElseThrow());
  }

  private static void compare(String where, JsonNode schema, Class<?> type) {
    Map<String, RecordComponent> members = new LinkedHashMap<>();
    collect(type, members);
    Set<String> named = new TreeSet<>();
    schema.get("properties").fieldNames().forEachRemaining(named::add);
    boolean record = named.containsAll(ENVELOPED);
    if (record) {
      named.removeAll(ENVELOPED);
    }
    // A check inside a window stands below its gauge, and was made as found.
    Set<String> expected = new TreeSet<>(members.keySet());
    if (type == RingPayload.class) {
      expected.removeAll(Set.of("gauge", "as_left"));
    }
    assertThat(named).as(where).isEqualTo(expected);
    Set<String> required = new TreeSet<>();
    schema.path("required").forEach(name -> required.add(name.textValue()));
    for (String name : named) {
      RecordComponent member = Objects.requireNonNull(members.get(name), name);
      boolean mayBeAbsent = member.getType().getSimpleName().startsWith("Optional");
      assertThat(required.contains(name))
          .as(where + "." + name + " required")
          .isNotEqualTo(mayBeAbsent);
      inside(where + "." + name, schema.get("properties").get(name), member.getGenericType());
    }
  }

  private static void collect(Class<?> type, Map<String, RecordComponent> members) {
    for (RecordComponent member : type.getRecordComponents()) {
      if (isUnwrapped(type, member)) {
        collect(member.getType(), members);
      } else {
        members.put(
            ((PropertyNamingStrategies.SnakeCaseStrategy) PropertyNamingStrategies.SNAKE_CASE)
                .translate(member.getName()),
            member);
      }
    }
  }

  private static boolean isUnwrapped(Class<?> type, RecordComponent member) {
    try {
      return type.getDeclaredField(member.getName()).isAnnotationPresent(JsonUnwrapped.class);
    } catch (NoSuchFieldException impossible) {
      throw new IllegalStateException(impossible);
    }
  }

  private static void inside(String where, JsonNode schema, Type type) {
    if (type instanceof ParameterizedType of) {
      boolean list = of.getRawType() == List.class;
      inside(where, list ? schema.get("items") : schema, of.getActualTypeArguments()[0]);
    } else if (type instanceof Class<?> one && one.isRecord() && schema.has("properties")) {
      compare(where, schema, one);
    }
  }

  private static <T> Stream<String> keys(T[] values, java.util.function.Function<T, String> key) {
    return Arrays.stream(values).map(key);
  }

  private static Stream<String> named(Enum<?>[] values) {
    return Arrays.stream(values)
        .map(value -> value.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'));
  }

  private static void words(String schema, String at, Stream<String> expected) {
    Set<String> listed = new TreeSet<>();
    PayloadSchemas.document(schema).at(at + "/enum").forEach(word -> listed.add(word.textValue()));
    assertThat(listed)
        .as(schema + at)
        .isEqualTo(expected.collect(Collectors.toCollection(TreeSet::new)));
  }
}
