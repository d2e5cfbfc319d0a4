package org.borewarden.agent.source.tcp;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.engine.Event.FrameRejected;
import org.borewarden.rules.engine.Event.SourceChanged;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Against a server of this test's own on a free port of the loopback. */
@Timeout(value = 90, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class TcpSourceTest {
  private final SourceBench bench = new SourceBench();

  @Test
  void aReadingComesThroughADeviceServerByteByByte() throws IOException {
    try (ServerSocket server = server(0);
        SourceFeed feed = started(server.getLocalPort());
        Socket gauge = server.accept()) {
      aligned(gauge);
      for (char c : "62.034 mm\r\n".toCharArray()) {
        send(gauge, String.valueOf(c));
      }
      until(() -> bench.readings().contains(62_034_000_000L));
    }
    assertThat(bench.readings()).containsOnlyOnce(62_034_000_000L);
  }

  @Test
  void aServerThatDropsUsInTheMiddleOfAFrameIsFoundAgainAndNothingIsMadeUp() throws IOException {
    try (ServerSocket server = server(0);
        SourceFeed feed = started(server.getLocalPort())) {
      try (Socket gauge = server.accept()) {
        aligned(gauge);
        send(gauge, "62.0");
      }
      until(() -> !bench.isConnected());
      try (Socket gauge = server.accept()) {
        send(gauge, "34 mm\r\n62.036 mm\r\n");
        until(() -> bench.readings().contains(62_036_000_000L));
      }
    }
    assertThat(bench.readings()).containsOnly(SETTLING, 62_036_000_000L);
    assertThat(bench.rejections()).extracting(FrameRejected::excerpt).contains("62.0", "34 mm");
  }

  @Test
  void aServerThatResetsTheConnectionIsFoundAgain() throws IOException {
    try (ServerSocket server = server(0);
        SourceFeed feed = started(server.getLocalPort())) {
      try (Socket gauge = server.accept()) {
        until(bench::isConnected);
        gauge.setSoLinger(true, 0);
      }
      until(() -> !bench.isConnected());
      try (Socket gauge = server.accept()) {
        aligned(gauge);
      }
    }
    assertThat(bench.changes()).extracting(SourceChanged::connected).startsWith(true, false, true);
  }

  @Test
  void aServerThatIsStartedLaterIsFound() throws IOException {
    int port;
    try (ServerSocket probe = server(0)) {
      port = probe.getLocalPort();
    }
    try (SourceFeed feed = started(port)) {
      until(() -> !bench.changes().isEmpty());
      assertThat(bench.changes().get(0).connected()).isFalse();
      assertThat(bench.changes().get(0).detail())
          .isEqualTo("cannot connect to 127.0.0.1:" + port + ": refused or not reachable");
      try (ServerSocket server = server(port);
          Socket gauge = server.accept()) {
        aligned(gauge);
      }
    }
  }

  @Test
  void aHostNameThatIsNotKnownIsSaid() {
    PortConfig.Tcp nowhere =
        new PortConfig.Tcp("gauge-server.invalid", 4001, Duration.ofSeconds(1));
    try (SourceFeed feed = bench.feed(SourceBench.port(nowhere, Optional.empty()))) {
      feed.start();
      until(() -> !bench.changes().isEmpty());
    }
    assertThat(bench.changes())
        .extracting(SourceChanged::detail)
        .containsExactly("cannot connect to gauge-server.invalid:4001: the host name is not known");
  }

  @Test
  void aStopEndsAnOpenConnectionAndItsThread() throws IOException {
    try (ServerSocket server = server(0)) {
      SourceFeed feed = started(server.getLocalPort());
      try (Socket gauge = server.accept()) {
        aligned(gauge);
        long from = System.nanoTime();
        feed.close();
        assertThat(Duration.ofNanos(System.nanoTime() - from)).isLessThan(Duration.ofSeconds(3));
        assertThat(gauge.getInputStream().read()).isEqualTo(-1);
      }
    }
    assertThat(
            Thread.getAllStackTraces().keySet().stream()
                .map(Thread::getName)
                .filter(name -> name.startsWith("source-")))
        .isEmpty();
  }

  private static final long SETTLING = 1_000_000_000L;

  /** Sends until a reading shows that the line has settled after opening. */
  private void aligned(Socket gauge) throws IOException {
    long before = bench.readings().size();
    long rejected = bench.count("rejected bore-a partial");
    send(gauge, "1.0 mm\r\n");
    until(
        () ->
            bench.readings().size() > before || bench.count("rejected bore-a partial") > rejected);
    if (bench.readings().size() == before) {
      send(gauge, "1.0 mm\r\n");
      until(() -> bench.readings().size() > before);
    }
  }

  private static void send(Socket gauge, String text) throws IOException {
    gauge.setTcpNoDelay(true);
    gauge.getOutputStream().write(text.getBytes(StandardCharsets.ISO_8859_1));
    gauge.getOutputStream().flush();
  }

  private static ServerSocket server(int port) throws IOException {
    ServerSocket server = new ServerSocket();
    server.setReuseAddress(true);
    server.setSoTimeout((int) SourceBench.LIMIT.toMillis());
    server.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), port));
    return server;
  }

  private SourceFeed started(int port) {
    PortConfig.Tcp link = new PortConfig.Tcp("127.0.0.1", port, Duration.ofSeconds(2));
    SourceFeed feed = bench.feed(SourceBench.port(link, Optional.empty()));
    feed.start();
    return feed;
  }
}
