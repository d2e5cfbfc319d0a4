package org.borewarden.agent.command;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import java.util.SortedSet;
import java.util.function.BooleanSupplier;
import org.borewarden.agent.clock.WallClock;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.hold.AnswerCode;

/**
 * Reads a command: JSON of at most 4 KiB, no field unknown, none twice, nothing after it. Also
 * looks at its sender's rights and, where both clocks are synchronised, at its age. Thread-safe.
 */
public final class CommandReader {
  /** A longer command is refused unread. */
  public static final int LONGEST_BYTES = 4096;

  private static final int DEEPEST = 4;
  private static final int LONGEST_TEXT = 200;
  private static final int LONGEST_TOPIC = 256;
  private static final Duration FRESH = Duration.ofSeconds(30);

  private final ObjectMapper json =
      JsonMapper.builder(
              JsonFactory.builder()
                  .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
                  .disable(StreamReadFeature.INCLUDE_SOURCE_IN_LOCATION)
                  .streamReadConstraints(
                      StreamReadConstraints.builder()
                          .maxNestingDepth(DEEPEST)
                          .maxStringLength(LONGEST_BYTES)
                          .maxNameLength(64)
                          .maxNumberLength(32)
                          .build())
                  .build())
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .build();
  private final WallClock wall;
  private final BooleanSupplier clockSynchronised;
  private final boolean twoPersons;

  /**
   * Makes a reader where nobody may ask for what a second person has to confirm.
   *
   * @param wall for the age of a command
   * @param clockSynchronised whether our own clock is synchronised; while it is not, the age of a
   *     command says nothing
   */
  public CommandReader(WallClock wall, BooleanSupplier clockSynchronised) {
    this(wall, clockSynchronised, false);
  }

  /**
   * Makes a reader.
   *
   * @param wall for the age of a command
   * @param clockSynchronised whether our own clock is synchronised; while it is not, the age of a
   *     command says nothing
   * @param twoPersons whether quality may ask for what a second person then has to confirm
   */
  public CommandReader(WallClock wall, BooleanSupplier clockSynchronised, boolean twoPersons) {
    this.wall = wall;
    this.clockSynchronised = clockSynchronised;
    this.twoPersons = twoPersons;
  }

  /**
   * Reads one command.
   *
   * @param name what is asked for
   * @param sender who asks
   * @param text JSON in UTF-8
   * @return the command, or why not
   */
  public CommandText read(CommandName name, Sender sender, ByteBuffer text) {
    if (text.remaining() > LONGEST_BYTES) {
      return new CommandText.Refused(
          AnswerCode.OVER_LIMIT,
          Optional.empty(),
          Optional.empty(),
          text.remaining() + " bytes, at most " + LONGEST_BYTES);
    }
    try {
      return read(name, sender, parse(text));
    } catch (FieldException refused) {
      return new CommandText.Refused(
          refused.code(), Optional.empty(), Optional.empty(), refused.detail());
    }
  }

  /**
   * Reads one line of a door that has no topics: the command's name stands in {@code command}, or a
   * question in {@code query}.
   *
   * @param roles the roles of who asks, at least one; the first that may give the order gives it
   * @param authenticatedAs what was proved of who asks
   * @param line JSON in UTF-8, without its end
   * @return what it asks for
   */
  public LineText readLine(SortedSet<Role> roles, String authenticatedAs, ByteBuffer line) {
    String key = "";
    try {
      ObjectNode object = parse(line);
      if (object.has("query")) {
        return query(new Fields(object));
      }
      key = new Fields(object).word("command");
      String asked = key;
      CommandName name =
          CommandName.of(key)
              .orElseThrow(
                  () -> malformed("no command '" + asked + "'; known are " + CommandName.all()));
      object.remove("command");
      return new LineText.Asked(key, readAsAny(name, roles, authenticatedAs, object));
    } catch (FieldException refused) {
      return new LineText.Asked(
          key,
          new CommandText.Refused(
              refused.code(), Optional.empty(), Optional.empty(), refused.detail()));
    }
  }

  private static LineText query(Fields fields) throws FieldException {
    String query = fields.oneOf("query", List.of("hold", "holds", "cell-test"));
    if (query.equals("cell-test")) {
      String tested = fields.word("cell");
      fields.nothingElse();
      return new LineText.CellTestQuery(tested);
    }
    Optional<String> cell =
        query.equals("hold") ? Optional.of(fields.word("cell")) : Optional.empty();
    fields.nothingElse();
    return new LineText.Query(cell);
  }

  private CommandText readAsAny(
      CommandName name, SortedSet<Role> roles, String authenticatedAs, ObjectNode object) {
    CommandText first = read(name, new Sender(roles.first(), authenticatedAs, true), object);
    for (Role role : roles) {
      CommandText text = read(name, new Sender(role, authenticatedAs, true), object);
      if (!(text instanceof CommandText.Refused refused && refused.code() == AnswerCode.NO_RIGHT)) {
        return text;
      }
    }
    return first;
  }

  private CommandText read(CommandName name, Sender sender, ObjectNode object) {
    Optional<String> answerTo = text(object, "answer_to");
    try {
      return new CommandText.Read(command(name, sender, new Fields(object)), answerTo);
    } catch (FieldException refused) {
      return new CommandText.Refused(
          refused.code(), text(object, "id"), answerTo, refused.detail());
    }
  }

  private ObjectNode parse(ByteBuffer text) throws FieldException {
    try {
      String decoded = StandardCharsets.UTF_8.newDecoder().decode(text.duplicate()).toString();
      JsonNode node = json.readTree(decoded);
      if (node instanceof ObjectNode object) {
        return object;
      }
      throw malformed("expected a JSON object");
    } catch (CharacterCodingException notUtf8) {
      throw malformed("not UTF-8");
    } catch (JsonProcessingException notJson) {
      throw malformed("not JSON: " + notJson.getOriginalMessage() + place(notJson));
    }
  }

  private static String place(JsonProcessingException problem) {
    return Optional.ofNullable(problem.getLocation())
        .map(at -> " at line " + at.getLineNr() + ", column " + at.getColumnNr())
        .orElse("");
  }

  private Command command(CommandName name, Sender sender, Fields fields) throws FieldException {
    String id = fields.uuid7("id");
    Optional<Instant> issued = fields.optionalInstant("issued");
    Optional<String> who = fields.optionalWord("who");
    Optional<String> challenge = fields.optionalWord("challenge");
    Optional<String> words = fields.optionalText("text", LONGEST_TEXT);
    fields.optionalText("answer_to", LONGEST_TOPIC);
    Order order = Orders.read(name, fields);
    fields.nothingElse();
    if (gives(order)) {
      need("who", who.isPresent());
      need("challenge", challenge.isPresent() || !sender.challengeRequired());
    }
    boolean withSecond = twoPersons && Rights.allowsWithSecond(sender.role(), order);
    if (!Rights.allows(sender.role(), order) && !withSecond) {
      throw new FieldException(
          AnswerCode.NO_RIGHT,
          "the role " + sender.role().key() + " may not " + asked(order, name));
    }
    if (issued.isPresent() && clockSynchronised.getAsBoolean()) {
      checkAge(issued.get());
    }
    return new Command(
        id, sender.role(), sender.authenticatedAs(), who, issued, challenge, words, order);
  }

  /** What can give a permit must name a person and quote what that person saw. */
  private static boolean gives(Order order) {
    return order instanceof Order.Release
        || order instanceof Order.Bypass
        || order instanceof Order.Confirm;
  }

  private static void need(String name, boolean there) throws FieldException {
    if (!there) {
      throw malformed("missing field '" + name + "'");
    }
  }

  private static String asked(Order order, CommandName name) {
    return order instanceof Order.Release release
            && release.evidence().isEmpty()
            && release.trialParts().isEmpty()
        ? "release without evidence"
        : name.key();
  }

  private void checkAge(Instant issued) throws FieldException {
    Duration age = Duration.between(issued, wall.now());
    if (age.abs().compareTo(FRESH) > 0) {
      throw new FieldException(
          AnswerCode.STALE,
          "'issued' is " + age.toSeconds() + " s ago, at most " + FRESH.toSeconds() + " s");
    }
  }

  private static Optional<String> text(ObjectNode object, String name) {
    return Optional.ofNullable(object.get(name))
        .filter(JsonNode::isTextual)
        .map(JsonNode::textValue)
        .filter(text -> text.length() <= LONGEST_TOPIC);
  }

  private static FieldException malformed(String detail) {
    return new FieldException(AnswerCode.MALFORMED, detail);
  }
}
