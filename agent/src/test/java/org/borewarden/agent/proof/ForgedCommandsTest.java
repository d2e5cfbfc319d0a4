package org.borewarden.agent.proof;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.agent.command.CommandName;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.CommandText;
import org.borewarden.agent.command.Sender;
import org.borewarden.agent.command.mqtt.CommandAnswers;
import org.borewarden.agent.command.mqtt.MqttCommands;
import org.borewarden.agent.config.CommandConfig;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestLinks;
import org.borewarden.agent.peers.TestSubscriber;
import org.borewarden.agent.publish.Topics;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Whoever may write to the broker can send what he likes: no hold changes, and it is recorded. */
class ForgedCommandsTest {
  private static final int FORGED = 10_000;
  private static final int OVER_A_BROKER = 1_000;
  private static final Pattern MORE = Pattern.compile("\\((\\d+) more refusals before it\\)");

  private final CommandReader reader = new CommandReader(() -> Cell.NOW, () -> true);

  @ParameterizedTest
  @ValueSource(strings = {"REQUESTED", "HEARD", "PERMITTED"})
  void noneOfTenThousandForgedCommandsChangesAHoldAndEachIsRecorded(Phase phase) {
    long seed = System.nanoTime();
    Cell cell = Cell.permitted();
    cell.take(Northworks4.bore(40));
    String used = new Forger(new Random(seed), cell.hold(), "").rightful();
    assertThat(code(cell.take(event("supervisor", CommandName.RELEASE, used))))
        .contains(AnswerCode.ACCEPTED);
    bring(cell, phase);
    HoldView before = cell.hold();
    assertThat(before.phase()).isEqualTo(phase);
    Forger forger = new Forger(new Random(seed), before, used);
    Map<Forger.Way, Integer> refused = new EnumMap<>(Forger.Way.class);
    for (int n = 0; n < FORGED; n++) {
      Forger.Forged forged = forger.next();
      Event event = event(forged.role(), forged.name(), forged.text());
      List<Decision> decisions = cell.take(event);
      assertThat(cell.hold()).as("%s, seed %d", forged.way(), seed).isEqualTo(before);
      if (event instanceof Event.CommandGiven) {
        // The first answer again is no second release; the hold above says so.
        assertThat(code(decisions)).as("%s, seed %d", forged.way(), seed).isPresent();
        if (forged.way() != Forger.Way.REPLAYED_AS_IT_WAS) {
          assertThat(code(decisions)).isNotEqualTo(Optional.of(AnswerCode.ACCEPTED));
        }
      }
      refused.merge(forged.way(), 1, Integer::sum);
    }
    assertThat(refused.keySet()).containsExactly(Forger.Way.values());
  }

  /** The door is not simply shut: what a forger lacks is the right, not the form. */
  @Test
  void theRightfulReleaseChangesTheHold() {
    Cell cell = Cell.permitted();
    cell.take(Northworks4.bore(40));
    String rightful = new Forger(new Random(1), cell.hold(), "").rightful();
    cell.take(event("supervisor", CommandName.RELEASE, rightful));
    assertThat(cell.hold().phase()).isEqualTo(Phase.PERMITTED);
  }

  @Test
  void overABrokerRetainedOnesIncludedEachIsRecordedOrCounted() throws Exception {
    Topics topics = new Topics("northworks/housings/cell-4");
    Cell cell = Cell.permitted();
    cell.take(Northworks4.bore(40));
    HoldView before = cell.hold();
    long seed = System.nanoTime();
    Random random = new Random(seed);
    Forger forger = new Forger(random, before, "{}");
    List<Event> recorded = new CopyOnWriteArrayList<>();
    try (TestBroker broker = TestBroker.start();
        TestSubscriber other = TestSubscriber.on(broker.port(), topics.of("answer/none"));
        MqttLink link =
            TestLinks.link(
                TestLinks.settings(
                    "control",
                    TestLinks.broker(
                        broker.port(), org.borewarden.agent.config.BrokerConfig.Version.V5),
                    Optional.empty()));
        MqttCommands commands = door(link, topics, recorded)) {
      for (int n = 0; n < OVER_A_BROKER; n++) {
        Forger.Forged forged = forger.next();
        String topic = topics.of("command/" + forged.role() + "/" + forged.name().key());
        String text = StandardCharsets.ISO_8859_1.decode(forged.text()).toString();
        other.say(topic, text, random.nextInt(5) == 0);
      }
      // The last of them come until all that went before is recorded or counted.
      int more = 0;
      while (accounted(recorded) + commands.dropped() < OVER_A_BROKER + more) {
        more++;
        long was = recorded.size();
        other.say(topics.of("command/supervisor/release"), "the end", false);
        long pause = System.nanoTime() + 200_000_000L;
        KilledAgent.await("a moment", () -> recorded.size() > was || System.nanoTime() > pause);
        assertThat(more).as("seed %d", seed).isLessThan(300);
      }
    }
    recorded.forEach(cell::take);
    assertThat(cell.hold()).as("seed %d", seed).isEqualTo(before);
    assertThat(recorded)
        .anyMatch(e -> e instanceof Event.CommandRefused r && r.code() == AnswerCode.RETAINED);
  }

  /** Commands that came through, refusals, and those that a refusal's words count. */
  private static long accounted(List<Event> recorded) {
    long count = 0;
    for (Event event : recorded) {
      count++;
      if (event instanceof Event.CommandRefused refused) {
        Matcher more = MORE.matcher(refused.detail());
        count += more.find() ? Long.parseLong(more.group(1)) : 0;
      }
    }
    return count;
  }

  private MqttCommands door(MqttLink link, Topics topics, List<Event> recorded) throws Exception {
    EventSink sink =
        new EventSink() {
          @Override
          public void put(Event event) {
            recorded.add(event);
          }

          @Override
          public boolean offer(Event event) {
            return recorded.add(event);
          }
        };
    CommandConfig config =
        new CommandConfig(
            CommandConfig.Trust.BROKER, Map.of(), Optional.empty(), Map.of(), Optional.empty());
    MqttCommands commands =
        MqttCommands.of(
                config,
                link,
                topics,
                reader,
                sink,
                new CommandAnswers(link, System::nanoTime),
                System::nanoTime)
            .orElseThrow();
    commands.start();
    TestLinks.started(link);
    return commands;
  }

  private static void bring(Cell cell, Phase phase) {
    if (phase == Phase.PERMITTED) {
      return;
    }
    cell.take(Northworks4.bore(40));
    if (phase == Phase.HEARD) {
      cell.take(
          Northworks4.order(
              Role.CELL,
              new org.borewarden.rules.engine.Order.Heard(
                  Northworks4.CELL, cell.hold().number(), cell.hold().kind().orElseThrow())));
    }
  }

  private Event event(String role, CommandName name, String text) {
    return event(role, name, StandardCharsets.UTF_8.encode(text));
  }

  /** As the door does: what is read is given, what is not is a refusal of its own. */
  private Event event(String role, CommandName name, ByteBuffer text) {
    Sender sender = new Sender(Role.valueOf(role.toUpperCase(Locale.ROOT)), "topic:" + role, true);
    CommandText read = reader.read(name, sender, text);
    if (read instanceof CommandText.Read good) {
      return new Event.CommandGiven(good.command());
    }
    CommandText.Refused refused = (CommandText.Refused) read;
    return new Event.CommandRefused(
        refused.code(), name.key(), sender.authenticatedAs(), refused.id(), refused.detail());
  }

  private static Optional<AnswerCode> code(List<Decision> decisions) {
    return decisions.stream()
        .filter(Decision.CommandAnswered.class::isInstance)
        .map(decision -> ((Decision.CommandAnswered) decision).code())
        .findFirst();
  }
}
