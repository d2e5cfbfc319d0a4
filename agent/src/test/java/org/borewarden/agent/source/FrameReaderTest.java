package org.borewarden.agent.source;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.capture.Captures;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.decode.Decoded;
import org.borewarden.agent.decode.Refusal;
import org.borewarden.agent.frame.Framer;
import org.borewarden.rules.engine.Event.FrameRejected;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.reading.Reading;
import org.junit.jupiter.api.Test;

class FrameReaderTest {
  private final SourceBench bench = new SourceBench();

  @Test
  void aFrameThatProvokesAFaultOfOursIsRejectedAndTheNextIsDecoded() throws InterruptedException {
    FrameReader reader =
        new FrameReader(
            quiet(),
            FrameReaderTest::faulty,
            new Captures(List.of(), cell -> false),
            report(),
            64,
            List.of());
    byte[] bytes = "poison\r\nplain\r\n".getBytes(StandardCharsets.ISO_8859_1);

    reader.take(bytes, bytes.length, Optional.empty());

    assertThat(bench.rejections())
        .extracting(FrameRejected::why)
        .containsExactly("fault", "no-match");
    assertThat(bench.rejections().get(0).detail()).contains("IllegalStateException");
    assertThat(bench.rejections().get(0).excerpt()).isEqualTo("poison");
  }

  @Test
  void aGaugeThatSaysThatItsBatteryIsLowIsReadAndCounted() throws InterruptedException {
    FrameReader reader =
        new FrameReader(
            quiet(),
            frame -> List.of(new Decoded.Accepted(reading(frame))),
            new Captures(List.of(), cell -> false),
            report(),
            64,
            List.of("B"));
    take(reader, "B\r\n");
    assertThat(bench.count("battery bore-a")).isEqualTo(1);
    take(reader, "-\r\n");
    assertThat(bench.count("battery bore-a")).isZero();
    assertThat(bench.readings()).hasSize(2);
  }

  private static void take(FrameReader reader, String text) throws InterruptedException {
    byte[] bytes = text.getBytes(StandardCharsets.ISO_8859_1);
    reader.take(bytes, bytes.length, Optional.empty());
  }

  private static Reading reading(String status) {
    return new Reading(
        "bore-a", Length.ZERO, Unit.MILLIMETRE, 3, Optional.empty(), Optional.of(status));
  }

  private static List<Decoded> faulty(String frame) {
    if (frame.equals("poison")) {
      throw new IllegalStateException("planted");
    }
    return List.of(new Decoded.Refused("bore-a", Refusal.NO_MATCH, "planted", 0));
  }

  private static Framer quiet() {
    Framer framer = new Framer(new PortConfig.Frame(Optional.empty(), 64));
    framer.opened();
    framer.quiet();
    return framer;
  }

  private SourceReport report() {
    return new SourceReport(
        "bore-a",
        List.of("bore-a"),
        bench,
        bench,
        () -> Instant.EPOCH,
        System::nanoTime,
        new RejectGate(10, Duration.ofSeconds(1)));
  }
}
