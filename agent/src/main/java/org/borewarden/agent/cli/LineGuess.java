package org.borewarden.agent.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * What a gauge's bytes look like, and the keys of agent.yaml that read them. A guess: a person
 * compares what is read with the display. Immutable.
 */
final class LineGuess {
  private static final char STX = '\u0002';
  private static final char ETX = '\u0003';

  /** A number with a decimal sign, else one of at least three digits. */
  private static final Pattern DECIMAL = Pattern.compile("[+-]?[0-9]*[.,][0-9]+");

  private static final Pattern DIGITS = Pattern.compile("[+-]?[0-9]{3,}");
  private static final Pattern UNIT = Pattern.compile("(\\s*)(mm|in|um|MM|IN|UM)\\b");
  private static final Pattern SEPARATED_INPUT = Pattern.compile("\\s*([0-9]{1,3})([:;,= ]\\s*)");
  private static final int HIGH_BIT = 0x80;

  private final List<String> words = new ArrayList<>();
  private final List<String> keys = new ArrayList<>();
  private String line = "";

  private LineGuess() {}

  /**
   * Guesses.
   *
   * @param chunks what came between two silences, one byte a character
   */
  static LineGuess of(List<String> chunks) {
    LineGuess guess = new LineGuess();
    guess.read(chunks);
    return guess;
  }

  /** What was seen, in words. */
  List<String> words() {
    return List.copyOf(words);
  }

  /** The settings of the line beside device and baud, such as {@code data-bits: 7}; else empty. */
  String line() {
    return line;
  }

  /** The keys of a gauge beside its port; empty where nothing could be made of the bytes. */
  List<String> keys() {
    return List.copyOf(keys);
  }

  private void read(List<String> chunks) {
    String raw = String.join("", chunks);
    if (raw.isEmpty()) {
      words.add("nothing came: is the gauge switched on, and was its key pressed?");
      return;
    }
    Optional<String> parity = parity(raw);
    List<String> plain = chunks;
    if (parity.isPresent()) {
      line = "data-bits: 7, parity: " + parity.get();
      words.add("every byte has a bit of " + parity.get() + " parity: 7 data bits");
      plain = chunks.stream().map(LineGuess::lowBits).toList();
    }
    String all = String.join("", plain);
    if (all.chars().filter(LineGuess::isOdd).count() * 10 > all.length()) {
      words.add(
          "most bytes are no text: try another --baud, such as 4800, 2400, 1200, 19200, 115200");
      return;
    }
    List<String> frames = frames(plain, all);
    if (!frames.isEmpty()) {
      pattern(frames);
    }
  }

  /** All bytes have the same parity, and some have their high bit set. */
  private static Optional<String> parity(String all) {
    boolean high = all.chars().anyMatch(c -> c >= HIGH_BIT);
    if (high && all.chars().allMatch(c -> Integer.bitCount(c) % 2 == 0)) {
      return Optional.of("even");
    }
    return high && all.chars().allMatch(c -> Integer.bitCount(c) % 2 == 1)
        ? Optional.of("odd")
        : Optional.empty();
  }

  private static String lowBits(String text) {
    return text.chars()
        .mapToObj(c -> String.valueOf((char) (c & ~HIGH_BIT)))
        .collect(Collectors.joining());
  }

  private static boolean isOdd(int c) {
    return (c < ' ' || c > '~') && c != '\r' && c != '\n' && c != '\t' && c != STX && c != ETX;
  }

  private List<String> frames(List<String> chunks, String all) {
    if (all.indexOf(STX) >= 0 && all.indexOf(ETX) > all.indexOf(STX)) {
      words.add("frames stand between STX and ETX");
      keys.add("frame: {starts: \"\\x02\", ends: \"\\x03\"}");
      Matcher match = Pattern.compile(STX + "([^" + STX + ETX + "]+)" + ETX).matcher(all);
      List<String> frames = match.results().map(m -> m.group(1)).toList();
      String between = match.replaceAll("").replaceAll("[\r\n]", "");
      if (!between.isEmpty()) {
        words.add("bytes stand behind the ETX: perhaps a checksum, see docs/frame-shapes.md");
      }
      return frames;
    }
    if (all.indexOf('\r') >= 0 || all.indexOf('\n') >= 0) {
      words.add("frames end with " + end(all));
      return List.of(all.split("[\r\n]+", -1)).stream().filter(f -> !f.isBlank()).toList();
    }
    if (chunks.stream().map(String::length).distinct().count() == 1 && chunks.size() > 1) {
      words.add("frames have no end and " + chunks.get(0).length() + " bytes each");
      keys.add("frame: {length: " + chunks.get(0).length() + "}");
      return chunks;
    }
    words.add("no end of a frame was seen: press the gauge's key a few times more");
    return List.of();
  }

  private static String end(String all) {
    if (all.contains("\r\n")) {
      return "CR LF";
    }
    return all.indexOf('\r') >= 0 ? "CR" : "LF";
  }

  private void pattern(List<String> frames) {
    Optional<Pattern> number =
        List.of(DECIMAL, DIGITS).stream()
            .filter(p -> frames.stream().allMatch(f -> p.matcher(f).results().count() >= 1))
            .findFirst();
    if (number.isEmpty()) {
      words.add("no number was seen in every frame");
      keys.clear();
      return;
    }
    List<String> before = new ArrayList<>();
    List<String> values = new ArrayList<>();
    List<String> behind = new ArrayList<>();
    for (String frame : frames) {
      Matcher match = number.get().matcher(frame);
      match.find();
      before.add(frame.substring(0, match.start()));
      values.add(match.group());
      behind.add(frame.substring(match.end()));
    }
    boolean decimal = number.get().equals(DECIMAL);
    boolean comma = values.stream().anyMatch(v -> v.contains(","));
    String digits = decimal ? "[+-]?[0-9]*" + (comma ? "," : "\\.") + "[0-9]+" : "[+-]?[0-9]+";
    Optional<String> unit = unit(behind);
    keys.add("pattern: '" + prefix(before) + "(?P<value>" + digits + ")" + suffix(behind) + "'");
    if (comma) {
      keys.add("decimal: comma");
    }
    if (!decimal) {
      keys.add("decimals: 3  # as many as the display shows");
      words.add("no decimal sign is sent: say in decimals how many the display shows");
    }
    if (unit.isEmpty()) {
      keys.add("unit: mm  # or in: as the display shows");
    }
    words.add("the first number that was seen: " + values.get(0));
  }

  private static String prefix(List<String> before) {
    Matcher input = SEPARATED_INPUT.matcher(before.get(0));
    boolean inputs = before.stream().allMatch(b -> SEPARATED_INPUT.matcher(b).matches());
    if (inputs && input.matches()) {
      return "\\s*(?P<input>[0-9]+)" + quoted(input.group(2).strip()) + "\\s*";
    }
    return constant(before);
  }

  private static String suffix(List<String> behind) {
    return unit(behind).isPresent()
        ? "\\s*(?P<unit>mm|in|um|MM|IN|UM)" + rest(behind)
        : constant(behind);
  }

  private static String rest(List<String> behind) {
    return constant(behind.stream().map(b -> UNIT.matcher(b).replaceFirst("")).toList());
  }

  private static Optional<String> unit(List<String> behind) {
    boolean every = behind.stream().allMatch(b -> UNIT.matcher(b).lookingAt());
    return every ? Optional.of(behind.get(0).strip().toLowerCase(Locale.ROOT)) : Optional.empty();
  }

  /** What is the same in every frame stands as it is; else anything but a digit may. */
  private static String constant(List<String> parts) {
    List<String> distinct = parts.stream().map(String::strip).distinct().toList();
    if (distinct.size() > 1) {
      return "[^0-9+-]*";
    }
    boolean blank = parts.stream().anyMatch(p -> !p.equals(p.strip()));
    String text = quoted(distinct.get(0));
    if (text.isEmpty()) {
      return blank ? "\\s*" : "";
    }
    return blank ? "\\s*" + text + "\\s*" : text;
  }

  /** A single quote is doubled, since the pattern stands between such. */
  private static String quoted(String text) {
    StringBuilder quoted = new StringBuilder();
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      boolean plain =
          (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == ' ';
      quoted.append(c == '\'' ? "''" : plain ? String.valueOf(c) : "\\" + c);
    }
    return quoted.toString();
  }
}
