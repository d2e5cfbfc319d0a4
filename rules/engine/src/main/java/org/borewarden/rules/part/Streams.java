package org.borewarden.rules.part;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.stream.Collectors;
import org.borewarden.rules.reading.PartContext;

/**
 * How the bores of a feature are put in order and kept apart before a watch sees them.
 *
 * @param order from where the place in cutting order is known
 * @param splitBy what of the context keeps streams apart; without any, all bores are one stream
 */
public record Streams(PartOrder order, List<By> splitBy) {
  /** One stream, in the order of arrival. */
  public static final Streams ONE = new Streams(PartOrder.ARRIVAL, List.of());

  /** The most streams of a feature; further ones share the stream {@value #OTHERS}. */
  public static final int MOST = 32;

  /** The stream of what comes after the last that is kept apart. */
  public static final String OTHERS = "others";

  private static final int LONGEST_DIGITS = 15;
  private static final int LONGEST_VALUE = 32;

  /** What of the context can keep streams apart. */
  public enum By {
    /** The machine or spindle that cut the part. */
    SPINDLE,
    /** The fixture or pallet that held it. */
    FIXTURE;

    /**
     * The word in files and in the names of streams.
     *
     * @return lower case
     */
    public String key() {
      return name().toLowerCase(Locale.ROOT);
    }

    private Optional<String> in(PartContext context) {
      return this == SPINDLE ? context.spindle() : context.fixture();
    }
  }

  /** Copies the list, each once and in one order. */
  public Streams {
    splitBy = splitBy.stream().distinct().sorted().toList();
  }

  /**
   * The place that the context gives a part in cutting order.
   *
   * @param context what was said of the part
   * @return its number; empty where the context does not say it
   */
  public OptionalLong place(PartContext context) {
    return order == PartOrder.SERIAL
        ? context.serial().map(Streams::number).orElse(OptionalLong.empty())
        : context.part();
  }

  /**
   * Whether the place of a bore in cutting order may be believed.
   *
   * @param context what was said of its part
   * @return false where no watch may draw a line through it
   */
  public boolean ordered(PartContext context) {
    return switch (order) {
      case ARRIVAL -> true;
      case PART, SERIAL -> place(context).isPresent();
      case UNKNOWN -> false;
    };
  }

  /**
   * The name of the stream to which a bore belongs.
   *
   * @param context what was said of its part
   * @return such as {@code spindle-2.fixture-A}; empty where all bores are one stream. What was not
   *     said is a stream of its own
   */
  public String stream(PartContext context) {
    return splitBy.isEmpty()
        ? ""
        : splitBy.stream()
            .map(by -> by.key() + "-" + by.in(context).map(Streams::plain).orElse("unknown"))
            .collect(Collectors.joining("."));
  }

  /** Names stand in keys and topics. */
  private static String plain(String value) {
    String plain = value.replaceAll("[^A-Za-z0-9_.-]", "_").toLowerCase(Locale.ROOT);
    return plain.substring(0, Math.min(plain.length(), LONGEST_VALUE));
  }

  private static OptionalLong number(String serial) {
    int from = serial.length();
    while (from > 0 && isDigit(serial.charAt(from - 1))) {
      from--;
    }
    String digits = serial.substring(from);
    return digits.isEmpty() || digits.length() > LONGEST_DIGITS
        ? OptionalLong.empty()
        : OptionalLong.of(Long.parseLong(digits));
  }

  private static boolean isDigit(char c) {
    return c >= '0' && c <= '9';
  }
}
