package org.borewarden.agent.source.tcp;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.io.IOException;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.config.CaptureConfig;
import org.borewarden.agent.config.CaptureConfig.Within;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.reading.Captured;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A gauge that never stops, at 2 000 samples in a second, over a socket, bore by bore. */
@Timeout(value = 120, unit = TimeUnit.SECONDS)
class CapturedStreamTest {
  private static final int SAMPLES_PER_SECOND = 2_000;
  private static final int BORES = 8;

  /** Of a bore's samples, those before the gauge is in it. */
  private static final int FREE = 200;

  private static final int STAY = 500;
  private static final int DWELL = 400;
  private static final int SAMPLES = BORES * (FREE + STAY);

  private final SourceBench bench = new SourceBench();

  @Test
  void noSampleIsLostAndEachBoreGivesOneReading() throws Exception {
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      PortConfig.Tcp link =
          new PortConfig.Tcp("127.0.0.1", server.getLocalPort(), Duration.ofSeconds(20));
      CaptureConfig capture =
          new CaptureConfig(
              SAMPLES_PER_SECOND,
              new CaptureConfig.Stable(new Length(1_000_000), Duration.ofMillis(200)),
              Optional.of(new Within(new Length(61_900_000_000L), new Length(62_100_000_000L))),
              Optional.empty());
      try (SourceFeed feed =
          bench.feed(SourceBench.port(link, Optional.empty()), new TcpLink(link), capture)) {
        feed.start();
        try (Socket socket = server.accept()) {
          stream(socket);
          until(() -> bench.count("samples bore-a") >= SAMPLES);
          until(() -> bench.readings().size() >= BORES);
        }
      }
    }
    assertThat(bench.count("samples bore-a")).isEqualTo(SAMPLES);
    assertThat(bench.taken()).hasSize(BORES);
    for (int bore = 0; bore < BORES; bore++) {
      assertThat(bench.taken().get(bore).value())
          .isEqualTo(new Length(62_000_000_000L + bore * 1_000_000L));
      assertThat(bench.taken().get(bore).captured()).contains(new Captured(DWELL, new Length(0)));
    }
    assertThat(bench.count("readings bore-a")).isEqualTo(BORES);
  }

  /** The first frame after opening is doubted; it is none of those that are counted. */
  private void stream(Socket socket) throws IOException {
    OutputStream wire = socket.getOutputStream();
    wire.write("63.0000 mm\r\n".getBytes(StandardCharsets.US_ASCII));
    until(() -> !bench.rejections().isEmpty() || bench.count("samples bore-a") > 0);
    long doubted = bench.count("samples bore-a");
    long from = System.nanoTime();
    for (int n = (int) doubted; n < SAMPLES; n++) {
      LockSupport.parkNanos(
          from + n * TimeUnit.SECONDS.toNanos(1) / SAMPLES_PER_SECOND - System.nanoTime());
      int bore = n / (FREE + STAY);
      double value = n % (FREE + STAY) < FREE ? 63 : 62 + bore / 1_000.0;
      String frame = String.format(Locale.ROOT, "%.4f mm\r\n", value);
      wire.write(frame.getBytes(StandardCharsets.US_ASCII));
    }
  }
}
