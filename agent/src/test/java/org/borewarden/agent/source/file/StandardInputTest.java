package org.borewarden.agent.source.file;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.StandardInputLink;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.engine.Event.SourceChanged;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** What a shell pipes to us, through its own standard output. */
@Timeout(value = 90, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class StandardInputTest {
  private final SourceBench bench = new SourceBench();

  @Test
  void aPipeIsReadUntilItsEndAndTheEndIsSaid() throws Exception {
    Process shell =
        new ProcessBuilder("sh", "-c", "printf '62.001 mm\\n'; read go; printf '62.002 mm\\n'")
            .start();
    StandardInput in = new StandardInput(shell.getInputStream());
    try (SourceFeed feed =
        bench.feed(SourceBench.port(new StandardInputLink(), Optional.empty()), in)) {
      feed.start();
      until(() -> bench.readings().size() == 1);
      assertThat(bench.isConnected()).isTrue();
      shell.getOutputStream().write("go\n".getBytes(StandardCharsets.US_ASCII));
      shell.getOutputStream().flush();
      until(() -> bench.readings().size() == 2);
      until(
          () ->
              bench.changes().stream()
                  .map(SourceChanged::detail)
                  .anyMatch("standard input has ended"::equals));
    }
  }
}
