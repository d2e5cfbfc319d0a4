package org.borewarden.agent.decode;

import com.google.re2j.Matcher;
import com.google.re2j.Pattern;
import java.util.BitSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;

/**
 * Reads the frames of one port by the pattern of its config. RE2 syntax: matching takes time in
 * proportion to the frame, whatever the gauge sends. A byte that is not printable ASCII is refused
 * unless the pattern names it, as {@code \x02}, so that noise never hides under a dot. Immutable.
 */
public final class FrameDecoder {
  /** The most characters of a frame that a detail repeats. */
  static final int SHOWN = 32;

  private final String port;
  private final Pattern pattern;
  private final boolean decimalComma;
  private final PortGauges gauges;
  private final BitSet named;

  /**
   * A decoder for one port.
   *
   * @param port the port
   * @param gauges the gauges that hang on it
   * @throws IllegalArgumentException when the pattern is none or has no group named value; the
   *     config's check has said so before, with line and column
   */
  public FrameDecoder(PortConfig port, List<GaugeConfig> gauges) {
    this.port = port.id();
    this.pattern = Pattern.compile(port.pattern());
    if (!pattern.namedGroups().containsKey("value")) {
      throw new IllegalArgumentException(
          "port " + port.id() + ": the pattern has no group named value: " + port.pattern());
    }
    this.decimalComma = port.decimalComma();
    this.gauges = new PortGauges(gauges);
    this.named = namedBytes(port.pattern());
  }

  /**
   * Reads a frame.
   *
   * @param frame its bytes without the terminator, one character a byte
   * @return a reading, or why it is none
   */
  public Decoded decode(String frame) {
    int odd = firstOddByte(frame);
    if (odd >= 0) {
      return refused(
          Refusal.NOT_TEXT,
          "expected printable ASCII, found byte "
              + String.format(Locale.ROOT, "0x%02X", frame.charAt(odd) & 0xFF),
          odd);
    }
    Matcher match = pattern.matcher(frame);
    return match.matches() ? read(match) : noMatch(frame);
  }

  private Decoded read(Matcher match) {
    Optional<String> input = group(match, "input");
    Optional<GaugeConfig> gauge = gauges.of(input);
    if (gauge.isEmpty()) {
      String found = input.map(FrameDecoder::quoted).orElse("none");
      return refused(
          Refusal.UNKNOWN_INPUT,
          "expected " + gauges.inputs() + ", found " + found,
          start(match, "input"));
    }
    Optional<String> word = group(match, "unit");
    Optional<Unit> unit = word.isPresent() ? UnitWords.unit(word.get()) : gauge.get().unit();
    if (unit.isEmpty()) {
      return noUnit(gauge.get(), match, word);
    }
    return value(gauge.get(), match, unit.get(), input);
  }

  private static Decoded noUnit(GaugeConfig gauge, Matcher match, Optional<String> word) {
    return word.isPresent()
        ? new Decoded.Refused(
            gauge.id(),
            Refusal.UNKNOWN_UNIT,
            "expected " + UnitWords.KNOWN + ", found " + quoted(word.get()),
            start(match, "unit"))
        : new Decoded.Refused(
            gauge.id(),
            Refusal.NO_UNIT,
            "expected a unit in the frame or in the gauge's config, found neither",
            match.end());
  }

  private Decoded value(GaugeConfig gauge, Matcher match, Unit unit, Optional<String> input) {
    // A value group that took no part in the match is refused as an empty value.
    String text = Optional.ofNullable(match.group("value")).orElse("");
    ValueText.Parsed parsed = ValueText.parse(text, unit, decimalComma);
    if (parsed instanceof ValueText.Parsed.Value value) {
      return new Decoded.Accepted(
          new Reading(
              gauge.id(), value.length(), unit, value.decimals(), input, group(match, "status")));
    }
    ValueText.Parsed.Problem problem = (ValueText.Parsed.Problem) parsed;
    return new Decoded.Refused(
        gauge.id(), problem.why(), problem.detail(), start(match, "value") + problem.offset());
  }

  private Decoded noMatch(String frame) {
    Matcher match = pattern.matcher(frame);
    return match.lookingAt()
        ? refused(
            Refusal.NO_MATCH,
            "expected the frame's end, found " + quoted(frame.substring(match.end())),
            match.end())
        : refused(Refusal.NO_MATCH, "expected the port's pattern, found " + quoted(frame), 0);
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

  private Decoded refused(Refusal why, String detail, int offset) {
    return new Decoded.Refused(only(), why, detail, offset);
  }

  /** Whom to blame where the frame does not tell: the gauge that stands alone, else the port. */
  private String only() {
    return gauges.only().map(GaugeConfig::id).orElse(port);
  }

  /** What a group took, trimmed; empty when the pattern lacks it or it took nothing. */
  private Optional<String> group(Matcher match, String name) {
    return pattern.namedGroups().containsKey(name)
        ? Optional.ofNullable(match.group(name)).map(String::strip).filter(t -> !t.isEmpty())
        : Optional.empty();
  }

  private static int start(Matcher match, String group) {
    return match.pattern().namedGroups().containsKey(group) ? Math.max(0, match.start(group)) : 0;
  }

  private static String quoted(String text) {
    return "'" + Excerpt.of(text, SHOWN) + "'";
  }
}
