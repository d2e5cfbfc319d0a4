package org.borewarden.agent.board;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.uuid.Generators;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.command.AnswerBook;
import org.borewarden.agent.command.AnswerText;
import org.borewarden.agent.command.CommandReader;
import org.borewarden.agent.command.CommandText;
import org.borewarden.agent.command.LineText;
import org.borewarden.agent.command.RefusalPace;
import org.borewarden.agent.intake.EventSink;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Phase;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What an inspector's hands ask for at the page: five orders, read and judged as at every other
 * door, with the inspector's rights and no others. Nothing here can give a permit. Thread-safe.
 */
public final class Hands implements AnswerBook {
  static final Set<String> ORDERS =
      Set.of("discard", "measure-again", "skip", "attribute", "next-part");

  private static final Logger LOG = LoggerFactory.getLogger(Hands.class);
  private static final ObjectMapper JSON = new ObjectMapper();
  private static final long ANSWER_SECONDS = 10;
  private static final String PIN = "[0-9]{4,12}";

  private final Optional<Path> persons;
  private final CommandReader reader;
  private final EventSink sink;
  private final RefusalPace pace;
  private final Tries tries;
  private final Map<String, CompletableFuture<String>> awaited = new ConcurrentHashMap<>();

  /**
   * Hands that nobody has used yet.
   *
   * @param persons who may, by number; empty where nobody is asked
   * @param reader reads commands
   * @param sink takes them
   * @param clock for durations
   */
  public Hands(Optional<Path> persons, CommandReader reader, EventSink sink, MonotonicClock clock) {
    this.persons = persons;
    this.reader = reader;
    this.sink = sink;
    this.pace = new RefusalPace(clock);
    this.tries = new Tries(clock);
  }

  boolean asksWho() {
    return persons.isPresent();
  }

  /** Gives an order and waits until it is on record, or gives up. */
  String give(byte[] text) throws InterruptedException {
    ObjectNode order;
    try {
      JsonNode node = JSON.readTree(text);
      if (!(node instanceof ObjectNode object)) {
        return refused("", AnswerCode.MALFORMED, "expected a JSON object");
      }
      order = object;
    } catch (IOException notJson) {
      return refused("", AnswerCode.MALFORMED, "expected a JSON object");
    }
    String name = order.path("command").asText("");
    JsonNode pin = order.remove("pin");
    if (!ORDERS.contains(name)) {
      return refused(name, AnswerCode.NO_RIGHT, "expected one of " + new TreeSet<>(ORDERS));
    }
    Optional<String> who = Optional.empty();
    if (persons.isPresent()) {
      who = person(pin == null ? "" : pin.asText(""));
      if (who.isEmpty()) {
        return refused(name, AnswerCode.NO_RIGHT, "no person has this number");
      }
    }
    order.remove("who");
    who.ifPresent(person -> order.put("who", person));
    order.put("id", Generators.timeBasedEpochRandomGenerator().generate().toString());
    return read(order, "board:" + who.orElse("hands"));
  }

  private String read(ObjectNode order, String provedAs) throws InterruptedException {
    byte[] line = order.toString().getBytes(StandardCharsets.UTF_8);
    LineText text =
        reader.readLine(new TreeSet<>(List.of(Role.INSPECTOR)), provedAs, ByteBuffer.wrap(line));
    if (text instanceof LineText.Asked asked) {
      if (asked.text() instanceof CommandText.Read read) {
        return offer(read.command());
      }
      if (asked.text() instanceof CommandText.Refused no) {
        return refused(asked.name(), no.code(), no.detail());
      }
    }
    return refused("", AnswerCode.MALFORMED, "expected an order");
  }

  private String offer(Command command) throws InterruptedException {
    CompletableFuture<String> answer = new CompletableFuture<>();
    awaited.put(command.id(), answer);
    try {
      if (!sink.offer(new Event.CommandGiven(command))) {
        return AnswerText.refused(
            Optional.of(command.id()), AnswerCode.NOT_RECORDED, "the inbox is full; try again");
      }
      return answer.get(ANSWER_SECONDS, TimeUnit.SECONDS);
    } catch (TimeoutException | ExecutionException notYet) {
      return AnswerText.refused(
          Optional.of(command.id()),
          AnswerCode.NOT_RECORDED,
          "no answer within " + ANSWER_SECONDS + " s; look whether it was done");
    } finally {
      awaited.remove(command.id());
    }
  }

  @Override
  public void answer(Decision.CommandAnswered answered, long seq, Optional<Phase> phase) {
    CompletableFuture<String> waiting = awaited.get(answered.commandId());
    if (waiting != null) {
      waiting.complete(AnswerText.answered(answered, seq, phase));
    }
  }

  private synchronized String refused(String name, AnswerCode code, String detail) {
    if (pace.allows()) {
      long more = pace.unrecorded();
      String words = more == 0 ? detail : detail + " (" + more + " more refusals before it)";
      sink.offer(new Event.CommandRefused(code, name, "board:hands", Optional.empty(), words));
    }
    return AnswerText.refused(Optional.empty(), code, detail);
  }

  /** The file is read anew each time, so that a changed number counts at once. */
  private Optional<String> person(String pin) {
    if (!tries.may()) {
      return Optional.empty();
    }
    Optional<String> found = Optional.empty();
    try {
      for (String line : Files.readAllLines(persons.orElseThrow(), StandardCharsets.UTF_8)) {
        String[] parts = line.strip().split(" +", 2);
        if (parts.length == 2 && parts[0].matches(PIN) && SignIn.same(parts[0], pin)) {
          found = Optional.of(parts[1]);
        }
      }
    } catch (IOException e) {
      LOG.warn("the persons of the board cannot be read: {}", e.toString());
    }
    if (found.isPresent()) {
      tries.right();
    } else {
      tries.wrong();
    }
    return found;
  }
}
