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
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Sixty-four gauges at once, and beside them one that never stops: 2 000 samples in a second. */
@Timeout(value = 120, unit = TimeUnit.SECONDS)
class ManyGaugesTest {
  private static final int GAUGES = 64;
  private static final int READINGS = 50;
  private static final int SAMPLES_PER_SECOND = 2_000;
  private static final int SAMPLES = 2 * SAMPLES_PER_SECOND;
  private static final long SETTLING = 1_000_000_000L;

  @Test
  void noSampleOfAnyIsLostAndEachComesInItsOrder() throws Exception {
    List<Gauge> gauges = new ArrayList<>();
    try {
      for (int i = 0; i <= GAUGES; i++) {
        gauges.add(new Gauge());
      }
      for (Gauge gauge : gauges) {
        gauge.settle();
      }
      Gauge stream = gauges.get(GAUGES);
      Thread streaming = new Thread(stream::stream, "stream");
      streaming.start();
      for (int n = 0; n < READINGS; n++) {
        for (Gauge gauge : gauges.subList(0, GAUGES)) {
          gauge.send(n);
        }
      }
      streaming.join();
      for (Gauge gauge : gauges) {
        int sent = gauge == stream ? SAMPLES : READINGS;
        until(() -> gauge.values().size() >= sent);
        List<Long> expected = new ArrayList<>();
        for (int n = 0; n < sent; n++) {
          expected.add(62_000_000_000L + n * 100_000L);
        }
        assertThat(gauge.values()).isEqualTo(expected);
      }
    } finally {
      for (Gauge gauge : gauges) {
        gauge.close();
      }
    }
  }

  /** A gauge behind a server of this test's own, and the feed that reads it. */
  private static final class Gauge implements AutoCloseable {
    private final SourceBench bench = new SourceBench();
    private final ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
    private final SourceFeed feed;
    private final Socket socket;
    private final OutputStream wire;

    Gauge() throws IOException {
      PortConfig.Tcp link =
          new PortConfig.Tcp("127.0.0.1", server.getLocalPort(), Duration.ofSeconds(20));
      feed = bench.feed(SourceBench.port(link, Optional.empty()));
      feed.start();
      socket = server.accept();
      socket.setTcpNoDelay(true);
      wire = socket.getOutputStream();
    }

    /** The first frame after opening may be doubted; the next one is not. */
    void settle() throws IOException {
      wire.write("1.0 mm\r\n".getBytes(StandardCharsets.US_ASCII));
      until(() -> !bench.readings().isEmpty() || !bench.rejections().isEmpty());
    }

    void send(int n) throws IOException {
      String frame = String.format(Locale.ROOT, "%.4f mm\r\n", 62 + n / 10_000.0);
      wire.write(frame.getBytes(StandardCharsets.US_ASCII));
    }

    void stream() {
      long from = System.nanoTime();
      try {
        for (int n = 0; n < SAMPLES; n++) {
          LockSupport.parkNanos(
              from + n * TimeUnit.SECONDS.toNanos(1) / SAMPLES_PER_SECOND - System.nanoTime());
          send(n);
        }
      } catch (IOException lost) {
        throw new java.io.UncheckedIOException(lost);
      }
    }

    List<Long> values() {
      return bench.readings().stream().filter(value -> value != SETTLING).toList();
    }

    @Override
    public void close() throws IOException {
      feed.close();
      socket.close();
      server.close();
    }
  }
}
