package org.borewarden.agent.proof;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.uuid.Generators;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import org.borewarden.agent.command.AnswerBook;
import org.borewarden.agent.command.CommandName;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.local.HoldsShown;
import org.borewarden.agent.command.local.LocalClient;
import org.borewarden.agent.command.local.LocalCommands;
import org.borewarden.agent.command.mqtt.CommandAnswers;
import org.borewarden.agent.command.mqtt.MqttCommands;
import org.borewarden.agent.config.BrokerConfig;
import org.borewarden.agent.config.CommandConfig;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.payload.Json;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.publish.Topics;
import org.borewarden.rules.engine.CellPolicy;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldView;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every answer to a command, each produced once over a broker and once over the local socket. A
 * retained command exists at a broker only.
 */
class AnswerCodesTest {
  private static final Duration SOON = Duration.ofSeconds(30);
  private static final Topics TOPICS = new Topics("northworks/housings/cell-4");
  private static final String ANSWERS = TOPICS.answers() + "office";

  @TempDir private Path folder;

  private final List<Event> refused = new CopyOnWriteArrayList<>();
  private volatile Cell cell = new Cell();
  private volatile boolean full;
  private volatile Optional<AnswerBook> book = Optional.empty();

  /**
   * How a code comes about.
   *
   * @param code the code
   * @param role who asks
   * @param name what for
   * @param setUp what happened before to a cell that is permitted
   * @param fields what stands in the command beside its id and cell
   */
  private record Row(
      AnswerCode code,
      Role role,
      CommandName name,
      Consumer<Cell> setUp,
      BiConsumer<ObjectNode, HoldView> fields) {}

  private static final Consumer<Cell> HELD = cell -> cell.take(Northworks4.bore(40));

  private static void nothing(Cell cell) {
    // as it is
  }

  private List<Row> rows() {
    List<Row> rows = new ArrayList<>();
    rows.add(
        new Row(
            AnswerCode.ACCEPTED,
            Role.SETTER,
            CommandName.TOOL_CHANGED,
            AnswerCodesTest::nothing,
            (n, h) -> {}));
    rows.add(
        release(
            AnswerCode.PENDING_EVIDENCE,
            HELD.andThen(c -> c.take(Northworks4.reported(0, false, 7))),
            (n, h) -> n.put("parts", 3)));
    rows.add(release(AnswerCode.STARTING, c -> c.take(started(2)), (n, h) -> {}));
    rows.add(release(AnswerCode.NOTHING_HELD, AnswerCodesTest::nothing, (n, h) -> {}));
    rows.add(release(AnswerCode.SUPERSEDED, HELD, (n, h) -> n.put("revision", h.revision() - 1)));
    rows.add(
        new Row(
            AnswerCode.ALREADY_PENDING,
            Role.SETTER,
            CommandName.ASK_HOLD,
            HELD,
            (n, h) -> n.put("reason", "hold-path-test")));
    rows.add(
        release(AnswerCode.EVIDENCE_MISSING, HELD, (n, h) -> n.putArray("evidence").add(999_999)));
    rows.add(
        release(
            AnswerCode.CONDITION_PRESENT,
            HELD.andThen(c -> c.take(Northworks4.link(false))),
            (n, h) -> {}));
    rows.add(
        new Row(AnswerCode.NO_RIGHT, Role.IT, CommandName.RELEASE, HELD, AnswerCodesTest::quote));
    rows.add(release(AnswerCode.STALE, HELD, (n, h) -> n.put("issued", "2020-01-01T00:00:00Z")));
    rows.add(release(AnswerCode.REPLAYED, HELD, (n, h) -> n.put("challenge", "0123456789abcdef")));
    rows.add(release(AnswerCode.MALFORMED, HELD, (n, h) -> n.put("colour", "red")));
    rows.add(
        new Row(
            AnswerCode.OVER_LIMIT,
            Role.SUPERVISOR,
            CommandName.BYPASS,
            HELD,
            (n, h) -> {
              quote(n, h);
              n.remove(List.of("needed"));
              n.put("minutes", 61).putArray("causes").add("oversize/bearing-seat");
            }));
    rows.add(release(AnswerCode.NOT_RECORDED, c -> full = true, (n, h) -> {}));
    rows.add(
        new Row(
            AnswerCode.PENDING_SECOND_PERSON,
            Role.QUALITY,
            CommandName.RELEASE,
            HELD,
            AnswerCodesTest::quote));
    return rows;
  }

  private static Row release(
      AnswerCode code, Consumer<Cell> setUp, BiConsumer<ObjectNode, HoldView> more) {
    BiConsumer<ObjectNode, HoldView> quoted = AnswerCodesTest::quote;
    return new Row(code, Role.SUPERVISOR, CommandName.RELEASE, setUp, quoted.andThen(more));
  }

  private static void quote(ObjectNode command, HoldView hold) {
    command
        .put("hold", hold.number())
        .put("revision", hold.revision())
        .put("challenge", hold.challenge())
        .put("who", "m-alvarez")
        .put("reason", "looked-at")
        .put("needed", "unknown");
  }

  @Test
  void eachComesOverTheSocketButTheOneThatCannot() throws Exception {
    Map<AnswerCode, String> came = new EnumMap<>(AnswerCode.class);
    for (Row row : rows()) {
      ObjectNode command = prepare(row).put("command", row.name().key());
      came.put(row.code(), code(askedAtTheSocket(row.role(), command)));
    }
    assertThat(came.keySet()).isEqualTo(EnumSet.complementOf(EnumSet.of(AnswerCode.RETAINED)));
    came.forEach((expected, answered) -> assertThat(answered).isEqualTo(expected.key()));
  }

  @Test
  void eachComesOverABroker() throws Exception {
    try (TestBroker broker = TestBroker.start();
        TestSubscriber office = TestSubscriber.on(broker.port(), ANSWERS);
        MqttLink link =
            TestLinks.link(
                TestLinks.settings(
                    "control",
                    TestLinks.broker(broker.port(), BrokerConfig.Version.V5),
                    Optional.empty()));
        MqttCommands commands = door(link)) {
      assertThat(commands.dropped()).isZero();
      Map<AnswerCode, String> came = new EnumMap<>(AnswerCode.class);
      for (Row row : rows()) {
        ObjectNode command = prepare(row).put("answer_to", ANSWERS);
        office.say(topic(row.role(), row.name()), command.toString(), false);
        String id = command.get("id").textValue();
        came.put(row.code(), code(office.await(heard -> heard.text().contains(id)).text()));
      }
      came.forEach((expected, answered) -> assertThat(answered).isEqualTo(expected.key()));
      office.say(topic(Role.SETTER, CommandName.TOOL_CHANGED), "{}", true);
      KilledAgent.await("the retained one", () -> refusedWith(AnswerCode.RETAINED));
      came.put(AnswerCode.RETAINED, AnswerCode.RETAINED.key());
      assertThat(came.keySet()).isEqualTo(EnumSet.allOf(AnswerCode.class));
    }
  }

  @Test
  void eachIsExplainedOnThePageOfTheCommands() throws Exception {
    String page = Files.readString(Path.of("../docs/commands.md"));
    String table = page.substring(page.indexOf("| code | means |"));
    String rows = table.substring(0, table.indexOf("\n\n"));
    for (AnswerCode code : AnswerCode.values()) {
      assertThat(rows).contains("`" + code.key() + "`");
    }
  }

  private boolean refusedWith(AnswerCode code) {
    return refused.stream()
        .anyMatch(event -> event instanceof Event.CommandRefused no && no.code() == code);
  }

  private static String topic(Role role, CommandName name) {
    return TOPICS.of("command/" + role.key() + "/" + name.key());
  }

  /** A cell as the row wants it, and the command that asks for the row's answer. */
  private ObjectNode prepare(Row row) {
    full = false;
    Cell fresh = new Cell();
    fresh.take(started(1));
    fresh.take(Northworks4.rulesLoaded());
    fresh.take(Northworks4.source(true));
    fresh.take(Northworks4.link(true));
    row.setUp().accept(fresh);
    cell = fresh;
    ObjectNode command =
        JsonNodeFactory.instance
            .objectNode()
            .put("id", Generators.timeBasedEpochGenerator().generate().toString())
            .put("cell", Northworks4.CELL);
    row.fields().accept(command, fresh.hold());
    return command;
  }

  private static Event started(int boot) {
    CellPolicy policy =
        new CellPolicy(
            Northworks4.CELL,
            List.of(),
            List.of(),
            true,
            false,
            Duration.ofSeconds(10),
            false,
            Optional.empty(),
            Optional.empty(),
            Optional.of(Duration.ofMinutes(10)));
    return new Event.AgentStarted(
        "0.1.0",
        boot,
        "nonce-" + boot,
        true,
        List.of(policy),
        List.of(new Event.Port(Northworks4.PORT, List.of("bore-1"))));
  }

  private static String code(String answer) throws Exception {
    return Json.read(answer, JsonNode.class).path("code").asText();
  }

  private String askedAtTheSocket(Role role, ObjectNode command) throws Exception {
    String group = Files.readAttributes(folder, PosixFileAttributes.class).group().getName();
    Path socket = folder.resolve("run/commands.socket");
    try (LocalCommands commands =
        LocalCommands.open(
            socket, Map.of(group, role.key()), reader(), new Sink(), System::nanoTime)) {
      book = Optional.of(commands);
      commands.start(new NoHolds());
      try (LocalClient client = LocalClient.connect(socket)) {
        return client.ask(command.toString(), SOON);
      }
    }
  }

  private MqttCommands door(MqttLink link) throws Exception {
    CommandAnswers answers = new CommandAnswers(link, System::nanoTime);
    book = Optional.of(answers);
    MqttCommands commands =
        MqttCommands.of(
                new CommandConfig(
                    CommandConfig.Trust.BROKER,
                    Map.of(),
                    Optional.empty(),
                    Map.of(),
                    Optional.empty()),
                link,
                TOPICS,
                reader(),
                new Sink(),
                answers,
                System::nanoTime)
            .orElseThrow();
    commands.start();
    TestLinks.started(link);
    return commands;
  }

  private static CommandReader reader() {
    return new CommandReader(() -> Cell.NOW, () -> true, true);
  }

  /** The loop's place: what is offered is taken at once, and answered as synced. */
  private final class Sink implements EventSink {
    @Override
    public void put(Event event) {
      offer(event);
    }

    @Override
    public boolean offer(Event event) {
      if (event instanceof Event.CommandRefused) {
        return refused.add(event);
      }
      if (full) {
        return false;
      }
      for (Decision decision : cell.take(event)) {
        if (decision instanceof Decision.CommandAnswered answered) {
          // From another thread, as the loop does: the door has still to say that it waits.
          Thread loop =
              new Thread(
                  () -> book.orElseThrow().answer(answered, 1, Optional.of(cell.hold().phase())));
          loop.start();
        }
      }
      return true;
    }
  }

  private static final class NoHolds implements HoldsShown {
    @Override
    public Optional<String> hold(String cell) {
      return Optional.empty();
    }

    @Override
    public Optional<String> cellTest(String cell) {
      return Optional.empty();
    }

    @Override
    public List<String> holds() {
      return List.of();
    }
  }
}
