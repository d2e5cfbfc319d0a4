package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.peers.PtyPair;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** The commands that wire a gauge, on pseudo terminals of socat. */
@Timeout(value = 90, unit = TimeUnit.SECONDS)
class GaugePortsTest {
  @TempDir private Path folder;

  @Test
  void aPortIsListedByItsStableNameAndTheDeviceBehindIt() throws Exception {
    try (PtyPair cable = PtyPair.plugged(folder)) {
      Files.createSymbolicLink(folder.resolve("usb-gone"), folder.resolve("no-such"));
      Run run = Run.of("ports", "--stable", folder.toString());
      assertThat(run.exit).isZero();
      assertThat(run.out)
          .contains(cable.agentEnd() + " -> " + cable.agentEnd().toRealPath())
          .doesNotContain("usb-gone");
    }
  }

  @Test
  void whatAGaugeSendsIsShownAndItsKeysArePrinted() throws Exception {
    try (PtyPair cable = PtyPair.plugged(folder)) {
      CompletableFuture<Run> listening =
          CompletableFuture.supplyAsync(
              () -> Run.of("listen", cable.agentEnd().toString(), "--seconds", "2"));
      cable.send("+62.0341 mm\r\n");
      Run run = listening.get();
      assertThat(run.exit).as(run.out).isZero();
      assertThat(run.out)
          .contains("2B 36 32 2E 30 33 34 31 20 6D 6D 0D 0A ")
          .contains("+62.0341 mm..")
          .contains(
              "gauges:\n  - id: bore-1\n    serial: {device: "
                  + cable.agentEnd()
                  + ", baud: 9600}\n    pattern: '(?P<value>[+-]?[0-9]*\\.[0-9]+)"
                  + "\\s*(?P<unit>mm|in|um|MM|IN|UM)'\n");
    }
  }

  @Test
  void aPortThatIsNotThereIsSaid() {
    Run run = Run.of("listen", folder.resolve("no-such").toString());
    assertThat(run.exit).isEqualTo(3);
    assertThat(run.err).contains("there is no such device");
  }

  // What a command printed, and its exit code.
  private record Run(int exit, String out, String err) {
    static Run of(String... args) {
      StringWriter out = new StringWriter();
      StringWriter err = new StringWriter();
      int exit =
          Main.line()
              .setOut(new PrintWriter(out, true))
              .setErr(new PrintWriter(err, true))
              .execute(args);
      return new Run(exit, out.toString(), err.toString());
    }
  }
}
