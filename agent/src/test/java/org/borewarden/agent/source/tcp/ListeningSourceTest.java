package org.borewarden.agent.source.tcp;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.ListenLink;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.engine.Event.SourceChanged;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A gauge that calls us, played by socat processes. */
@Timeout(value = 90, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class ListeningSourceTest {
  private final SourceBench bench = new SourceBench();
  private final int port = TestBroker.freePort();

  @Test
  void aGaugeThatCallsIsReadAndOneThatCallsAgainIsReadOn() throws IOException {
    try (SourceFeed feed = listening("127.0.0.1", List.of())) {
      until(() -> bench.changes().size() == 1);
      assertThat(bench.changes().get(0).detail())
          .isEqualTo("waits on 127.0.0.1:" + port + " for the gauge to connect");
      try (Caller gauge = new Caller()) {
        gauge.readAs("62.034 mm\n", 62_034_000_000L);
      }
      until(() -> !bench.isConnected());
      try (Caller gauge = new Caller()) {
        gauge.readAs("62.036 mm\n", 62_036_000_000L);
      }
    }
    assertThat(bench.changes())
        .extracting(SourceChanged::connected)
        .startsWith(false, true, false)
        .contains(true);
  }

  /** A gauge that lost its supply leaves a connection behind of which nobody hears any more. */
  @Test
  void theNewestCallTakesThePlaceOfAnOldOneThatIsSilent() throws IOException {
    try (SourceFeed feed = listening("127.0.0.1", List.of());
        Caller silent = new Caller()) {
      silent.readAs("62.034 mm\n", 62_034_000_000L);
      try (Caller gauge = new Caller()) {
        gauge.readAs("62.036 mm\n", 62_036_000_000L);
      }
    }
  }

  @Test
  void whoIsNoNamedPeerIsCutOffAndNothingIsReadOfHim() throws IOException {
    try (SourceFeed feed = listening("127.0.0.1", List.of("192.0.2.7"));
        Caller stranger = new Caller()) {
      until(() -> !stranger.sent("62.034 mm\n"));
    }
    assertThat(bench.readings()).isEmpty();
    assertThat(bench.changes()).extracting(SourceChanged::connected).containsOnly(false);
  }

  @Test
  void aPortThatIsTakenIsSaid() throws IOException {
    try (SourceFeed first = listening("127.0.0.1", List.of())) {
      until(() -> !bench.changes().isEmpty());
      SourceBench other = new SourceBench();
      ListenLink link = new ListenLink("127.0.0.1", port, List.of());
      try (SourceFeed second = feed(other, link)) {
        until(() -> !other.changes().isEmpty());
      }
      assertThat(other.changes().get(0).detail())
          .startsWith("cannot listen on 127.0.0.1:" + port + ": ");
    }
  }

  private SourceFeed listening(String host, List<String> peers) {
    return feed(bench, new ListenLink(host, port, peers));
  }

  private static SourceFeed feed(SourceBench bench, ListenLink link) {
    PortConfig port = SourceBench.port(link, Optional.empty());
    SourceFeed feed = bench.feed(port, new ListeningLink(link));
    feed.start();
    return feed;
  }

  /** A gauge behind socat. */
  private final class Caller implements AutoCloseable {
    private final Process process;
    private final OutputStream wire;

    Caller() throws IOException {
      process =
          new ProcessBuilder(
                  Peers.require("socat").toString(),
                  "-u",
                  "STDIN",
                  "TCP:127.0.0.1:" + port + ",retry=100,interval=0.1")
              .redirectError(ProcessBuilder.Redirect.DISCARD)
              .start();
      wire = process.getOutputStream();
    }

    /** Sends until the reading is there: the first frame after a call may be doubted. */
    void readAs(String frame, long picometres) {
      until(() -> sent(frame) && bench.readings().contains(picometres));
    }

    /** False once socat has ended, as it does when it is cut off. */
    boolean sent(String frame) {
      try {
        wire.write(frame.getBytes(StandardCharsets.US_ASCII));
        wire.flush();
        return true;
      } catch (IOException gone) {
        return false;
      }
    }

    @Override
    public void close() {
      process.destroyForcibly();
    }
  }
}
