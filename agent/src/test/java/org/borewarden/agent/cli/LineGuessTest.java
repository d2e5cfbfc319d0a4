package org.borewarden.agent.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.AgentFile;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.decode.Decoded;
import org.borewarden.agent.decode.FrameDecoder;
import org.borewarden.agent.frame.Cut;
import org.borewarden.agent.frame.FrameCutter;
import org.borewarden.agent.frame.FrameCutters;
import org.borewarden.rules.file.yaml.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The keys that are guessed read the very bytes that they were guessed from. */
class LineGuessTest {
  @TempDir private Path folder;

  @ParameterizedTest
  @ValueSource(
      strings = {
        "62.0341\r\n|62.0342\r\n",
        "+62.0341 mm\r|-00.0002 mm\r",
        "62,0341\n|62,0342\n",
        "A+062.0341\r|A+062.0342\r",
        "1:62.0341\r\n|2:62.0342\r\n",
        "\u000262.0341\u0003|\u000262.0342\u0003",
        "D(1) 62.0341 in;\r|D(1) 62.0342 in;\r",
        "+0620341|+0620342"
      })
  void eachFrameIsReadByTheKeysThatWereGuessedFromAll(String shown) throws Exception {
    List<String> chunks = Arrays.asList(shown.split("\\|", -1));
    LineGuess guess = LineGuess.of(chunks);
    PortConfig port = port(guess);
    FrameCutter cutter = FrameCutters.of(port);
    List<Decoded> decoded = new ArrayList<>();
    AgentConfig config = config(guess);
    for (String chunk : chunks) {
      cutter.quiet();
      byte[] bytes = chunk.getBytes(StandardCharsets.ISO_8859_1);
      for (Cut cut : cutter.take(bytes, bytes.length)) {
        decoded.addAll(new FrameDecoder(port, config.gauges()).decode(((Cut.Whole) cut).text()));
      }
    }
    assertThat(decoded).hasSize(2).allMatch(Decoded.Accepted.class::isInstance);
  }

  /** Seven data bits and parity, heard with eight and none: the parity bit stands on top. */
  @Test
  void aParityBitIsSeenAndTheLineNamed() {
    StringBuilder even = new StringBuilder();
    for (char c : "62.0341\r\n".toCharArray()) {
      even.append((char) (c | ((Integer.bitCount(c) % 2) << 7)));
    }
    LineGuess guess = LineGuess.of(List.of(even.toString(), even.toString()));
    assertThat(guess.line()).isEqualTo("data-bits: 7, parity: even");
    assertThat(guess.keys()).contains("pattern: '(?P<value>[+-]?[0-9]*\\.[0-9]+)'");
  }

  @Test
  void bytesThatAreNoTextAskForAnotherSpeed() {
    LineGuess guess = LineGuess.of(List.of("\u00fe\u0000\u00e6\u0018\u0098\u0001"));
    assertThat(guess.keys()).isEmpty();
    assertThat(guess.words().get(0)).startsWith("most bytes are no text: try another --baud");
  }

  @Test
  void nothingIsSaidAsNothing() {
    assertThat(LineGuess.of(List.of()).words().get(0)).startsWith("nothing came");
    assertThat(LineGuess.of(List.of("HELLO\r")).keys()).isEmpty();
  }

  private PortConfig port(LineGuess guess) throws Exception {
    return config(guess).ports().get(0);
  }

  private AgentConfig config(LineGuess guess) throws Exception {
    boolean inputs = guess.keys().stream().anyMatch(key -> key.contains("(?P<input>"));
    StringBuilder text = new StringBuilder("agent: a\nroot: a\nrules: r\ndata: d\n");
    text.append(
        inputs ? "ports:\n  - id: p\n    serial: s\n" : "gauges:\n  - id: g\n    serial: s\n");
    guess.keys().stream()
        .filter(key -> !inputs || !key.startsWith("unit"))
        .forEach(key -> text.append("    ").append(key).append('\n'));
    if (inputs) {
      text.append("gauges:\n  - {id: g1, port: p, input: 1, unit: mm}\n");
      text.append("  - {id: g2, port: p, input: 2, unit: mm}\n");
    }
    Path file = Files.writeString(folder.resolve("agent.yaml"), text);
    Outcome<AgentConfig> outcome = AgentFile.read(file, name -> Optional.empty());
    if (outcome instanceof Outcome.Good<AgentConfig> good) {
      return good.value();
    }
    throw new AssertionError(outcome + "\n" + text);
  }
}
