package org.borewarden.agent.command;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.math.BigDecimal;
import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import java.util.UUID;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/**
 * The members of one JSON object, each asked for by name, type and limit. What was not asked for at
 * the end is unknown and refused. Used by one thread.
 */
final class Fields {
  private static final int LONGEST_WORD = 64;
  private static final int MOST_ITEMS = 32;
  private static final int UUID_LENGTH = 36;
  private static final int UUID_VERSION = 7;
  private static final int LONGEST_LENGTH = 24;
  private static final int MOST_DIGITS = 18;

  private static final double COLDEST = -20;
  private static final double WARMEST = 60;
  private static final Pattern DAY = Pattern.compile("20[0-9]{2}-[0-9]{2}-[0-9]{2}");
  private static final Pattern CELSIUS = Pattern.compile("(-?[0-9]{1,2}(?:\\.[0-9]{1,3})?) ?degC");

  private final ObjectNode object;
  private final Set<String> asked = new HashSet<>();

  Fields(ObjectNode object) {
    this.object = object;
  }

  private Optional<JsonNode> find(String name) {
    asked.add(name);
    return Optional.ofNullable(object.get(name));
  }

  private JsonNode need(String name) throws FieldException {
    return find(name).orElseThrow(() -> malformed("missing field '" + name + "'"));
  }

  /** A word of at most 64 characters without control characters. */
  String word(String name) throws FieldException {
    return text(name, need(name), LONGEST_WORD);
  }

  Optional<String> optionalWord(String name) throws FieldException {
    return optionalText(name, LONGEST_WORD);
  }

  Optional<String> optionalText(String name, int longest) throws FieldException {
    Optional<JsonNode> node = find(name);
    return node.isPresent() ? Optional.of(text(name, node.get(), longest)) : Optional.empty();
  }

  private static String text(String name, JsonNode node, int longest) throws FieldException {
    if (!node.isTextual()) {
      throw malformed("'" + name + "': expected a text, found " + shown(node));
    }
    String text = node.textValue();
    if (text.isBlank()) {
      throw malformed("'" + name + "': expected a text, found none");
    }
    if (text.length() > longest) {
      throw overLimit("'" + name + "': " + text.length() + " characters, at most " + longest);
    }
    if (text.chars().anyMatch(Character::isISOControl)) {
      throw malformed("'" + name + "': holds a control character");
    }
    return text;
  }

  String oneOf(String name, List<String> allowed) throws FieldException {
    String word = word(name);
    if (!allowed.contains(word)) {
      throw malformed("'" + name + "': expected one of " + allowed + ", found '" + word + "'");
    }
    return word;
  }

  Optional<String> optionalOneOf(String name, List<String> allowed) throws FieldException {
    return object.has(name) ? Optional.of(oneOf(name, allowed)) : optionalWord(name);
  }

  /** A whole number; below {@code least} it is malformed, above {@code most} over the limit. */
  long whole(String name, long least, long most) throws FieldException {
    return whole(name, need(name), least, most);
  }

  Optional<Long> optionalWhole(String name, long least, long most) throws FieldException {
    Optional<JsonNode> node = find(name);
    return node.isPresent() ? Optional.of(whole(name, node.get(), least, most)) : Optional.empty();
  }

  private static long whole(String name, JsonNode node, long least, long most)
      throws FieldException {
    if (!node.isIntegralNumber() || !node.canConvertToLong()) {
      throw malformed("'" + name + "': expected a whole number, found " + shown(node));
    }
    long value = node.longValue();
    if (value < least) {
      throw malformed("'" + name + "': expected at least " + least + ", found " + value);
    }
    if (value > most) {
      throw overLimit("'" + name + "': at most " + most + ", found " + value);
    }
    return value;
  }

  List<Long> wholes(String name) throws FieldException {
    List<Long> values = new ArrayList<>();
    for (JsonNode item : items(name)) {
      values.add(whole(name, item, 1, Long.MAX_VALUE));
    }
    return List.copyOf(values);
  }

  List<String> words(String name) throws FieldException {
    List<String> values = new ArrayList<>();
    for (JsonNode item : items(name)) {
      values.add(text(name, item, LONGEST_WORD));
    }
    return List.copyOf(values);
  }

  private List<JsonNode> items(String name) throws FieldException {
    Optional<JsonNode> node = find(name);
    if (node.isEmpty()) {
      return List.of();
    }
    if (!node.get().isArray()) {
      throw malformed("'" + name + "': expected a list, found " + shown(node.get()));
    }
    if (node.get().size() > MOST_ITEMS) {
      throw overLimit("'" + name + "': " + node.get().size() + " items, at most " + MOST_ITEMS);
    }
    List<JsonNode> items = new ArrayList<>();
    node.get().forEach(items::add);
    return items;
  }

  /** An id that its sender made: a UUID of version 7. */
  String uuid7(String name) throws FieldException {
    String text = word(name);
    if (!isUuid7(text)) {
      throw malformed("'" + name + "': expected a UUID of version 7, found '" + text + "'");
    }
    return text;
  }

  private static boolean isUuid7(String text) {
    if (text.length() != UUID_LENGTH) {
      return false;
    }
    try {
      UUID uuid = UUID.fromString(text);
      return uuid.version() == UUID_VERSION && uuid.variant() == 2;
    } catch (IllegalArgumentException notUuid) {
      return false;
    }
  }

  Optional<Instant> optionalInstant(String name) throws FieldException {
    Optional<String> text = optionalWord(name);
    if (text.isEmpty()) {
      return Optional.empty();
    }
    try {
      return Optional.of(Instant.parse(text.get()));
    } catch (DateTimeParseException notTime) {
      throw malformed(
          "'"
              + name
              + "': expected a time such as 2026-03-02T14:05:06.789Z, found '"
              + text.get()
              + "'");
    }
  }

  /** A length with its unit, such as {@code -0.004 mm}. */
  Length length(String name) throws FieldException {
    String text = word(name);
    String[] parts = text.split(" ", -1);
    if (parts.length == 2 && text.length() <= LONGEST_LENGTH) {
      for (Unit unit : Unit.values()) {
        if (unit.symbol().equals(parts[1])) {
          return new Length(picometres(name, parts[0], unit));
        }
      }
    }
    throw malformed(
        "'"
            + name
            + "': expected a length with its unit, such as \"-0.004 mm\", found '"
            + text
            + "'");
  }

  Optional<Length> optionalLength(String name) throws FieldException {
    return optionalWord(name).isPresent() ? Optional.of(length(name)) : Optional.empty();
  }

  /** A day, as ISO 8601 writes it. */
  String date(String name) throws FieldException {
    String text = word(name);
    try {
      if (DAY.matcher(text).matches()) {
        return LocalDate.parse(text).toString();
      }
    } catch (DateTimeParseException noDay) {
      throw malformed("'" + name + "': there is no day " + text);
    }
    throw malformed("'" + name + "': expected a day such as 2026-06-30, found '" + text + "'");
  }

  /** A temperature with its unit, such as {@code 31.5 degC}, where a shop can have it. */
  OptionalDouble optionalCelsius(String name) throws FieldException {
    Optional<String> text = optionalWord(name);
    if (text.isEmpty()) {
      return OptionalDouble.empty();
    }
    Matcher matcher = CELSIUS.matcher(text.get());
    double celsius = matcher.matches() ? Double.parseDouble(matcher.group(1)) : Double.NaN;
    if (!(celsius >= COLDEST && celsius <= WARMEST)) {
      throw malformed(
          "'"
              + name
              + "': expected a temperature from -20 to 60, such as \"31.5 degC\", found '"
              + text.get()
              + "'");
    }
    return OptionalDouble.of(celsius);
  }

  private static long picometres(String name, String digits, Unit unit) throws FieldException {
    boolean plain =
        digits.length() <= MOST_DIGITS
            && digits.chars().allMatch(c -> (c >= '0' && c <= '9') || c == '.' || c == '-');
    try {
      if (plain) {
        return new BigDecimal(digits)
            .multiply(BigDecimal.valueOf(unit.picometres()))
            .longValueExact();
      }
    } catch (ArithmeticException | NumberFormatException notExact) {
      throw malformed("'" + name + "': '" + digits + "' is not a decimal of whole picometres");
    }
    throw malformed("'" + name + "': expected a decimal number, found '" + digits + "'");
  }

  /** Refuses what nobody asked for. */
  void nothingElse() throws FieldException {
    Set<String> unknown = new TreeSet<>();
    object.fieldNames().forEachRemaining(unknown::add);
    unknown.removeAll(asked);
    if (!unknown.isEmpty()) {
      throw malformed("unknown field " + unknown + "; known are " + new TreeSet<>(asked));
    }
  }

  private static String shown(JsonNode node) {
    String text = node.toString();
    return text.length() <= LONGEST_WORD ? text : text.substring(0, LONGEST_WORD) + "...";
  }

  private static FieldException malformed(String detail) {
    return new FieldException(AnswerCode.MALFORMED, detail);
  }

  private static FieldException overLimit(String detail) {
    return new FieldException(AnswerCode.OVER_LIMIT, detail);
  }
}
