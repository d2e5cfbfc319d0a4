package org.borewarden.agent.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.agent.decode.Decoded;
import org.borewarden.agent.decode.FrameDecoder;
import org.borewarden.agent.frame.Cut;
import org.borewarden.agent.frame.FrameCutter;
import org.borewarden.agent.frame.FrameCutters;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** The shapes of docs/frame-shapes.md, each cut and decoded as it stands there. */
class FrameShapesTest {
  private static final Pattern SHAPE =
      Pattern.compile(
          "## (?<name>[a-z-]+)\n`(?<bytes>[^`]+)` is (?<value>-?[0-9.]+) mm(, from input"
              + " (?<input>[0-9]))?(, with status (?<status>[A-Z]))?\\..*\n```yaml\n"
              + "(?<keys>[^`]+)```");

  @TempDir private Path folder;

  // A shape of the page: its name, its example and what that is read as.
  record Shape(
      String name,
      String bytes,
      String value,
      Optional<String> input,
      Optional<String> status,
      String keys) {
    @Override
    public String toString() {
      return name;
    }
  }

  static List<Shape> shapes() throws IOException {
    List<Shape> shapes = new ArrayList<>();
    String page = Json.doc("frame-shapes.md");
    Matcher match = SHAPE.matcher(page);
    while (match.find()) {
      shapes.add(
          new Shape(
              match.group("name"),
              match.group("bytes"),
              match.group("value"),
              Optional.ofNullable(match.group("input")),
              Optional.ofNullable(match.group("status")),
              match.group("keys")));
    }
    assertThat(shapes).hasSize((int) page.lines().filter(line -> line.startsWith("## ")).count());
    return shapes;
  }

  @ParameterizedTest
  @MethodSource("shapes")
  void theExampleIsReadAsThePageSays(Shape shape) throws IOException {
    List<Decoded> decoded = decoded(shape);
    assertThat(decoded).isNotEmpty().allMatch(Decoded.Accepted.class::isInstance);
    Reading reading = ((Decoded.Accepted) decoded.get(0)).reading();
    assertThat(reading.value().picometres())
        .isEqualTo(new java.math.BigDecimal(shape.value).movePointRight(9).longValueExact());
    assertThat(reading.decimals()).isEqualTo(4);
    assertThat(reading.input()).isEqualTo(shape.input);
    assertThat(reading.status()).isEqualTo(shape.status);
  }

  private List<Decoded> decoded(Shape shape) throws IOException {
    AgentConfig config = config(shape);
    PortConfig port = config.ports().get(0);
    FrameCutter cutter = FrameCutters.of(port);
    cutter.opened();
    cutter.quiet();
    byte[] bytes = bytes(shape.bytes).getBytes(StandardCharsets.ISO_8859_1);
    List<Cut> cuts = cutter.take(bytes, bytes.length);
    assertThat(cuts).hasSize(1).allMatch(Cut.Whole.class::isInstance);
    return new FrameDecoder(port, config.gauges()).decode(((Cut.Whole) cuts.get(0)).text());
  }

  /** The keys under a gauge with a line of its own; under a shared one where inputs are told. */
  private AgentConfig config(Shape shape) throws IOException {
    StringBuilder text = new StringBuilder("agent: a\nroot: a\nrules: r\ndata: d\n");
    if (shape.input.isPresent()) {
      String port = shape.keys.replace("unit: mm\n", "");
      text.append("ports:\n  - id: p\n    serial: s\n").append(port.indent(4));
      text.append("gauges:\n  - {id: g1, port: p, input: 1, unit: mm}\n");
      text.append("  - {id: g2, port: p, input: 2, unit: mm}\n");
    } else {
      text.append("gauges:\n  - id: g\n    serial: s\n").append(shape.keys.indent(4));
    }
    Path file = Files.writeString(folder.resolve("agent.yaml"), text);
    Outcome<AgentConfig> outcome = AgentFile.read(file, name -> Optional.empty());
    if (outcome instanceof Outcome.Good<AgentConfig> good) {
      return good.value();
    }
    throw new AssertionError(outcome + "\n" + text);
  }

  private static String bytes(String shown) {
    Matcher match =
        Pattern.compile("\\\\x([0-9A-F]{2})")
            .matcher(shown.replace("\\r", "\r").replace("\\n", "\n"));
    return match.replaceAll(
        m -> Matcher.quoteReplacement(String.valueOf((char) Integer.parseInt(m.group(1), 16))));
  }
}
