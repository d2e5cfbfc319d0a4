package org.borewarden.agent.decode;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.agent.config.GaugeConfig;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.decode.FieldFinder.Fields;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;

/**
 * Reads the frames of one port: finds the values in it by pattern or JSON pointer, then the gauge,
 * the unit and the number of each. Immutable.
 */
public final class FrameDecoder {
  /** The most characters of a frame that a detail repeats. */
  static final int SHOWN = 32;

  private final String port;
  private final FieldFinder finder;
  private final boolean decimalComma;
  private final OptionalInt decimals;
  private final List<String> refuseStatus;
  private final PortGauges gauges;

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
    this.finder =
        port.json()
            .<FieldFinder>map(JsonFinder::new)
            .orElseGet(() -> new PatternFinder(port.id(), port.pattern()));
    this.decimalComma = port.decimalComma();
    this.decimals = port.decimals();
    this.refuseStatus = port.refuseStatus();
    this.gauges = new PortGauges(gauges);
  }

  /**
   * Reads a frame.
   *
   * @param frame its bytes without the terminator, one character a byte
   * @return for each of its values a reading, or why it is none; at least one
   */
  public List<Decoded> decode(String frame) {
    Fields fields = finder.find(frame);
    if (fields instanceof Fields.Values values) {
      return values.all().stream().map(found -> read(found, frame.length())).toList();
    }
    Fields.None none = (Fields.None) fields;
    return List.of(new Decoded.Refused(only(), none.why(), none.detail(), none.offset()));
  }

  private Decoded read(Found found, int end) {
    Optional<String> input = found.input().map(Found.Part::text);
    Optional<GaugeConfig> gauge = gauges.of(input);
    if (gauge.isEmpty()) {
      String said = input.map(Excerpt::quoted).orElse("none");
      return new Decoded.Refused(
          only(),
          Refusal.UNKNOWN_INPUT,
          "expected " + gauges.inputs() + ", found " + said,
          at(found.input(), 0));
    }
    Optional<String> status = found.status().map(Found.Part::text);
    if (status.filter(refuseStatus::contains).isPresent()) {
      return new Decoded.Refused(
          gauge.get().id(),
          Refusal.GAUGE_SAYS,
          "expected a status other than "
              + String.join(", ", refuseStatus)
              + ", found "
              + status.get(),
          at(found.status(), 0));
    }
    Optional<String> word = found.unit().map(Found.Part::text);
    Optional<Unit> unit = word.isPresent() ? UnitWords.unit(word.get()) : gauge.get().unit();
    return unit.isPresent()
        ? value(gauge.get(), found, unit.get(), input, status)
        : noUnit(gauge.get(), found, end);
  }

  private static Decoded noUnit(GaugeConfig gauge, Found found, int end) {
    return found.unit().isPresent()
        ? new Decoded.Refused(
            gauge.id(),
            Refusal.UNKNOWN_UNIT,
            "expected " + UnitWords.KNOWN + ", found " + Excerpt.quoted(found.unit().get().text()),
            found.unit().get().at())
        : new Decoded.Refused(
            gauge.id(),
            Refusal.NO_UNIT,
            "expected a unit in the frame or in the gauge's config, found neither",
            end);
  }

  private Decoded value(
      GaugeConfig gauge, Found found, Unit unit, Optional<String> input, Optional<String> status) {
    ValueText.Parsed parsed =
        found.plain()
            ? ValueText.parse(found.value(), unit, false)
            : ValueText.parse(
                found.value(), found.sign().map(Found.Part::text), unit, decimalComma, decimals);
    if (parsed instanceof ValueText.Parsed.Value value) {
      return new Decoded.Accepted(
          new Reading(gauge.id(), value.length(), unit, value.decimals(), input, status));
    }
    ValueText.Parsed.Problem problem = (ValueText.Parsed.Problem) parsed;
    return new Decoded.Refused(
        gauge.id(), problem.why(), problem.detail(), found.at() + problem.offset());
  }

  /** Whom to blame where the frame does not tell: the gauge that stands alone, else the port. */
  private String only() {
    return gauges.only().map(GaugeConfig::id).orElse(port);
  }

  private static int at(Optional<Found.Part> part, int otherwise) {
    return part.map(Found.Part::at).orElse(otherwise);
  }
}
