package org.borewarden.agent.source.serial;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.Asking;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.config.PortConfig.Flow;
import org.borewarden.agent.config.PortConfig.Parity;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.source.AskingLink;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A gauge that answers each request, played by a shell behind a pseudo terminal of socat. */
@Timeout(value = 90, unit = TimeUnit.SECONDS)
class AskedGaugeTest {
  private final SourceBench bench = new SourceBench();
  @TempDir private Path folder;

  @Test
  void aGaugeThatSaysNothingByItselfIsAskedByTheClock() throws IOException {
    Path device = folder.resolve("gauge");
    Path script =
        Files.writeString(
            folder.resolve("gauge.sh"),
            """
            n=0
            while read -r ask
            do
              n=$((n+1))
              echo "$ask" >> asked
              printf '62.03%d mm\\r\\n' $n
            done
            """);
    Process gauge =
        new ProcessBuilder(
                Peers.require("socat").toString(),
                "pty,raw,echo=0,link=" + device,
                "EXEC:sh " + script)
            .directory(folder.toFile())
            .start();
    try {
      until(() -> Files.exists(device));
      PortConfig.Serial serial =
          new PortConfig.Serial(device.toString(), 9600, 8, Parity.NONE, 1, Flow.NONE, true, true);
      PortConfig port = SourceBench.port(serial, Optional.empty());
      Asking asking = new Asking("R1\n", Duration.ofMillis(200));
      try (SourceFeed feed =
          bench.feed(port, new AskingLink(new SerialLink(serial), asking, System::nanoTime))) {
        feed.start();
        until(() -> bench.readings().size() >= 3);
      }
    } finally {
      gauge.descendants().forEach(ProcessHandle::destroyForcibly);
      gauge.destroyForcibly();
    }
    assertThat(bench.readings()).isSorted().doesNotHaveDuplicates();
    assertThat(Files.readAllLines(folder.resolve("asked"))).containsOnly("R1");
  }
}
