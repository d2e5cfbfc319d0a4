package org.borewarden.agent.faults.fuzz;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.regex.Pattern;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.decode.Decoded;
import org.borewarden.agent.decode.FrameDecoder;
import org.borewarden.agent.frame.Cut;
import org.borewarden.agent.frame.Framer;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.WrittenLength;

/** Bytes of a line against framer and decoder. */
public final class FrameFuzz {
  private static final PortConfig PORT =
      new PortConfig(
          "port-1",
          new PortConfig.Tcp("fuzz", 1, Duration.ofSeconds(1)),
          new PortConfig.Frame(Optional.empty(), 64),
          "(?P<input>[AB])?\\s*(?P<value>[-+]?[0-9.]+)\\s*(?P<unit>mm|in|um)?\\s*(?P<status>\\*)?",
          false,
          Optional.empty());
  private static final FrameDecoder DECODER =
      new FrameDecoder(
          PORT,
          List.of(
              new GaugeConfig("bore-1", "port-1", Optional.of("A"), Optional.empty()),
              new GaugeConfig("bore-2", "port-1", Optional.of("B"), Optional.empty())));

  private static final Pattern INPUT = Pattern.compile("^[AB]");
  private static final Pattern UNIT = Pattern.compile("(mm|in|um)$");

  private FrameFuzz() {}

  /**
   * The same bytes in other chunks give the same frames; what is accepted is what the text says.
   *
   * @param data what the line gave
   */
  public static void fuzzerTestOneInput(byte[] data) {
    List<Cut> whole = new Framer(PORT.frame()).take(data, data.length);
    if (!chunked(data).equals(whole)) {
      throw new IllegalStateException("other chunks gave other frames");
    }
    for (Cut cut : whole) {
      if (cut instanceof Cut.Whole frame) {
        decode(frame.text());
      }
    }
  }

  private static List<Cut> chunked(byte[] data) {
    Framer framer = new Framer(PORT.frame());
    Random random = new Random(data.length);
    List<Cut> cuts = new ArrayList<>();
    for (int at = 0; at < data.length; ) {
      int count = Math.min(data.length - at, 1 + random.nextInt(9));
      byte[] chunk = new byte[count];
      System.arraycopy(data, at, chunk, 0, count);
      cuts.addAll(framer.take(chunk, count));
      at += count;
    }
    return cuts;
  }

  private static void decode(String frame) {
    Decoded decoded = DECODER.decode(frame).get(0);
    if (decoded instanceof Decoded.Refused refused) {
      if (refused.offset() < 0 || refused.offset() > frame.length()) {
        throw new IllegalStateException("offset " + refused.offset() + " in '" + frame + "'");
      }
      return;
    }
    var reading = ((Decoded.Accepted) decoded).reading();
    String text = INPUT.matcher(frame).replaceFirst("").replace("*", "").strip();
    String digits = UNIT.matcher(text).replaceFirst("").strip();
    String unsigned = digits.startsWith("+") ? digits.substring(1) : digits;
    if (LengthText.parse(unsigned + " " + reading.unit().symbol())
            instanceof Parsed.Ok<WrittenLength> written
        && !written.value().length().equals(reading.value())) {
      throw new IllegalStateException("'" + frame + "' was read as " + reading.value());
    }
  }
}
