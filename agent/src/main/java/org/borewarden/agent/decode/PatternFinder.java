package org.borewarden.agent.decode;

import com.google.re2j.Matcher;
import com.google.re2j.Pattern;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeSet;

/**
 * Finds values by the pattern of a port. RE2 syntax: matching takes time in proportion to the
 * frame, whatever the gauge sends. A byte that is not printable ASCII is refused unless the pattern
 * names it, as {@code \x02}, so that noise never hides under a dot.
 *
 * <p>A pattern with groups {@code value_1}, {@code value_2} finds a value for each of these inputs;
 * {@code unit_1} and so on stand beside one of them, {@code unit} beside all.
 */
final class PatternFinder implements FieldFinder {
  private static final String VALUE = "value";
  private static final String OF_INPUT = "value_";

  private final Pattern pattern;
  private final List<String> inputs;
  private final BitSet named;

  /**
   * A finder.
   *
   * @throws IllegalArgumentException when the pattern is none or names no value
   */
  PatternFinder(String port, String text) {
    this.pattern = Pattern.compile(text);
    this.inputs =
        new TreeSet<>(pattern.namedGroups().keySet())
            .stream()
                .filter(group -> group.startsWith(OF_INPUT))
                .map(group -> group.substring(OF_INPUT.length()))
                .toList();
    if (!has(VALUE) && inputs.isEmpty()) {
      throw new IllegalArgumentException(
          "port " + port + ": the pattern has no group named value: " + text);
    }
    this.named = namedBytes(text);
  }

  @Override
  public Fields find(String frame) {
    int odd = firstOddByte(frame);
    if (odd >= 0) {
      return new Fields.None(
          Refusal.NOT_TEXT,
          "expected printable ASCII, found byte "
              + String.format(Locale.ROOT, "0x%02X", frame.charAt(odd) & 0xFF),
          odd);
    }
    Matcher match = pattern.matcher(frame);
    return match.matches() ? new Fields.Values(values(match)) : noMatch(frame);
  }

  private List<Found> values(Matcher match) {
    List<Found> all = new ArrayList<>();
    if (has(VALUE)) {
      all.add(found(match, VALUE, "", part(match, "input")));
    }
    for (String input : inputs) {
      String group = OF_INPUT + input;
      all.add(
          found(match, group, "_" + input, Optional.of(new Found.Part(input, at(match, group)))));
    }
    return all;
  }

  private Found found(Matcher match, String group, String of, Optional<Found.Part> input) {
    // A value group that took no part in the match is refused as an empty value.
    return new Found(
        Optional.ofNullable(match.group(group)).orElse(""),
        at(match, group),
        false,
        beside(match, "sign", of),
        beside(match, "unit", of),
        input,
        beside(match, "status", of));
  }

  private Optional<Found.Part> beside(Matcher match, String group, String of) {
    return part(match, group + of).or(() -> part(match, group));
  }

  /** What a group took, trimmed; empty when the pattern lacks it or it took nothing. */
  private Optional<Found.Part> part(Matcher match, String group) {
    return has(group)
        ? Optional.ofNullable(match.group(group))
            .map(String::strip)
            .filter(text -> !text.isEmpty())
            .map(text -> new Found.Part(text, at(match, group)))
        : Optional.empty();
  }

  private boolean has(String group) {
    return pattern.namedGroups().containsKey(group);
  }

  private static int at(Matcher match, String group) {
    return Math.max(0, match.start(group));
  }

  private Fields noMatch(String frame) {
    Matcher match = pattern.matcher(frame);
    return match.lookingAt()
        ? new Fields.None(
            Refusal.NO_MATCH,
            "expected the frame's end, found " + Excerpt.quoted(frame.substring(match.end())),
            match.end())
        : new Fields.None(
            Refusal.NO_MATCH, "expected the port's pattern, found " + Excerpt.quoted(frame), 0);
  }

  /** The bytes outside printable ASCII that the pattern names as {@code \xHH} or {@code \t}. */
  private static BitSet namedBytes(String pattern) {
    String small = pattern.toLowerCase(Locale.ROOT);
    BitSet named = new BitSet(1 << Byte.SIZE);
    for (int b = 0; b < 1 << Byte.SIZE; b++) {
      named.set(b, small.contains(String.format(Locale.ROOT, "\\x%02x", b)));
    }
    if (small.contains("\\t")) {
      named.set('\t');
    }
    return named;
  }

  /** Such a byte may be noise that a dot in the pattern would swallow. */
  private int firstOddByte(String frame) {
    for (int i = 0; i < frame.length(); i++) {
      char c = frame.charAt(i);
      if ((c < ' ' || c > '~') && !named.get(c)) {
        return i;
      }
    }
    return -1;
  }
}
