package org.borewarden.rules.file.yaml;

import java.math.BigDecimal;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The readers of single values. Each says in its name what it allows. */
public final class Scalars {
  /** The longest id. */
  public static final int LONGEST_ID = 64;

  /** What an id looks like: it becomes a level of a topic and a label of a metric. */
  public static final String ID_PATTERN = "[A-Za-z0-9][A-Za-z0-9_.-]{0,63}";

  private static final Pattern ID = Pattern.compile(ID_PATTERN);
  private static final Pattern WHOLE = Pattern.compile("-?[0-9]{1,9}");
  private static final Pattern DURATION =
      Pattern.compile("([0-9]{1,9}(?:\\.[0-9]{1,3})?) ?(ms|s|min|h|d)");
  private static final Pattern PARTS = Pattern.compile("([0-9]{1,9}) ?parts?");
  private static final Pattern PERCENT = Pattern.compile("([0-9]{1,3}(?:\\.[0-9]{1,6})?) ?%");
  private static final Pattern DECIMAL = Pattern.compile("[0-9]{1,3}(?:\\.[0-9]{1,6})?");
  private static final Pattern SIZE = Pattern.compile("([0-9]{1,9}) ?(KiB|bytes)");
  private static final Pattern DISK_SIZE = Pattern.compile("([0-9]{1,9}) ?(MiB|GiB)");
  private static final Pattern DATE = Pattern.compile("20[0-9]{2}-[0-9]{2}-[0-9]{2}");
  private static final Map<String, Long> MILLISECONDS =
      Map.of("ms", 1L, "s", 1_000L, "min", 60_000L, "h", 3_600_000L, "d", 86_400_000L);

  private static final long DAY_SECONDS = 86_400;

  private Scalars() {}

  /**
   * A name that can stand in a topic.
   *
   * @return the reader
   */
  public static Reader<String> id() {
    String expects =
        "an id of 1 to " + LONGEST_ID + " letters, digits, \"-\", \"_\" or \".\", no blanks";
    return Reader.scalar(expects, text -> matching(ID, text).map(Matcher::group));
  }

  /**
   * Words for people: one line, not blank.
   *
   * @param longest the most characters
   * @return the reader
   */
  public static Reader<String> text(int longest) {
    return Reader.scalar(
        "a text of 1 to " + longest + " characters",
        text -> Optional.of(text).filter(t -> isLine(t) && t.length() <= longest));
  }

  private static boolean isLine(String text) {
    return !text.isBlank() && text.codePoints().noneMatch(Character::isISOControl);
  }

  /**
   * A whole number.
   *
   * @param least the least that is allowed
   * @param most the most that is allowed
   * @return the reader
   */
  public static Reader<Integer> whole(int least, int most) {
    return Reader.scalar(
        "a whole number from " + least + " to " + most,
        text ->
            matching(WHOLE, text)
                .map(m -> Integer.valueOf(m.group()))
                .filter(n -> n >= least && n <= most));
  }

  /**
   * A choice between true and false, in these words only.
   *
   * @return the reader
   */
  public static Reader<Boolean> flag() {
    return Reader.scalar(
        "true or false",
        text ->
            switch (text) {
              case "true" -> Optional.of(true);
              case "false" -> Optional.of(false);
              default -> Optional.empty();
            });
  }

  /**
   * One of a few words.
   *
   * @param <T> what the words stand for
   * @param choices the values, in the order in which messages list them
   * @param word the word of a value
   * @return the reader
   */
  public static <T> Reader<T> word(List<T> choices, Function<T, String> word) {
    List<String> words = choices.stream().map(word).toList();
    String expects = words.size() == 1 ? words.get(0) : oneOf(words);
    return Reader.scalar(
        expects,
        text -> choices.stream().filter(choice -> word.apply(choice).equals(text)).findFirst());
  }

  /**
   * One of a few words, as it stands.
   *
   * @param words the words
   * @return the reader
   */
  public static Reader<String> word(String... words) {
    return word(List.of(words), Function.identity());
  }

  private static String oneOf(List<String> words) {
    int last = words.size() - 1;
    return String.join(", ", words.subList(0, last)) + " or " + words.get(last);
  }

  /**
   * A duration with its unit.
   *
   * @param least the shortest
   * @param most the longest
   * @return the reader
   */
  public static Reader<Duration> duration(Duration least, Duration most) {
    return Reader.scalar(
        "a duration from " + shown(least) + " to " + shown(most),
        text ->
            matching(DURATION, text)
                .flatMap(Scalars::duration)
                .filter(d -> d.compareTo(least) >= 0 && d.compareTo(most) <= 0));
  }

  private static Optional<Duration> duration(Matcher matcher) {
    long unit = MILLISECONDS.getOrDefault(matcher.group(2), 1L);
    BigDecimal millis = new BigDecimal(matcher.group(1)).multiply(BigDecimal.valueOf(unit));
    boolean whole = millis.stripTrailingZeros().scale() <= 0;
    return whole ? Optional.of(Duration.ofMillis(millis.longValueExact())) : Optional.empty();
  }

  /**
   * A duration as files write it.
   *
   * @param duration whole milliseconds
   * @return for example {@code 250 ms}, {@code 10 s}, {@code 15 min} or {@code 31 d}
   */
  public static String shown(Duration duration) {
    long millis = duration.toMillis();
    if (millis == 0 || millis % 1_000 != 0) {
      return millis + " ms";
    }
    long seconds = millis / 1_000;
    if (seconds > DAY_SECONDS && seconds % DAY_SECONDS == 0) {
      return seconds / DAY_SECONDS + " d";
    }
    if (seconds % 3_600 == 0) {
      return seconds / 3_600 + " h";
    }
    return seconds % 60 == 0 ? seconds / 60 + " min" : seconds + " s";
  }

  /**
   * A number of parts, with the word, so that nobody takes it for bores or seconds.
   *
   * @param least the least
   * @param most the most
   * @return the reader
   */
  public static Reader<Integer> parts(int least, int most) {
    return Reader.scalar(
        "a number of parts from " + least + " to " + most + ", such as \"4 parts\"",
        text ->
            matching(PARTS, text)
                .map(m -> Integer.valueOf(m.group(1)))
                .filter(n -> n >= least && n <= most));
  }

  /**
   * A probability, in per cent.
   *
   * @param least the least, per cent
   * @param most the most, per cent
   * @return the reader of a number from 0 to 1
   */
  public static Reader<Double> percent(String least, String most) {
    BigDecimal lowest = new BigDecimal(least);
    BigDecimal highest = new BigDecimal(most);
    return Reader.scalar(
        "a probability from " + least + " % to " + most + " %, such as \"95 %\"",
        text ->
            matching(PERCENT, text)
                .map(m -> new BigDecimal(m.group(1)))
                .filter(p -> p.compareTo(lowest) >= 0 && p.compareTo(highest) <= 0)
                .map(p -> p.movePointLeft(2).doubleValue()));
  }

  /**
   * A number with or without decimals.
   *
   * @param least the least
   * @param most the most
   * @return the reader
   */
  public static Reader<Double> decimal(String least, String most) {
    BigDecimal lowest = new BigDecimal(least);
    BigDecimal highest = new BigDecimal(most);
    return Reader.scalar(
        "a number from " + least + " to " + most,
        text ->
            matching(DECIMAL, text)
                .map(m -> new BigDecimal(m.group()))
                .filter(d -> d.compareTo(lowest) >= 0 && d.compareTo(highest) <= 0)
                .map(BigDecimal::doubleValue));
  }

  /**
   * A number of bytes, with its unit.
   *
   * @param least the least, bytes
   * @param most the most, bytes
   * @return the reader
   */
  public static Reader<Integer> bytes(int least, int most) {
    return Reader.scalar(
        "a size from " + least + " bytes to " + most / 1024 + " KiB",
        text ->
            matching(SIZE, text)
                .map(m -> Long.parseLong(m.group(1)) * ("KiB".equals(m.group(2)) ? 1024 : 1))
                .filter(n -> n >= least && n <= most)
                .map(Math::toIntExact));
  }

  /**
   * A size on a disk, with its unit.
   *
   * @param least the least, MiB
   * @param most the most, MiB
   * @return the reader of a whole number of MiB
   */
  public static Reader<Integer> mebibytes(int least, int most) {
    return Reader.scalar(
        "a size from " + least + " MiB to " + most / 1024 + " GiB",
        text ->
            matching(DISK_SIZE, text)
                .map(m -> Long.parseLong(m.group(1)) * ("GiB".equals(m.group(2)) ? 1024 : 1))
                .filter(n -> n >= least && n <= most)
                .map(Math::toIntExact));
  }

  /**
   * A day.
   *
   * @return the reader of an ISO 8601 date
   */
  public static Reader<String> date() {
    return Reader.scalar(
        "a day, such as \"2026-03-31\"",
        text -> matching(DATE, text).map(Matcher::group).filter(Scalars::isDay));
  }

  private static boolean isDay(String text) {
    try {
      return LocalDate.parse(text).getYear() >= 2000;
    } catch (DateTimeException e) {
      return false;
    }
  }

  private static Optional<Matcher> matching(Pattern pattern, String text) {
    Matcher matcher = pattern.matcher(text);
    return matcher.matches() ? Optional.of(matcher) : Optional.empty();
  }
}
