package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.Tag;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The gaps between beats, as the cell sees them, while packets are lost both ways. Needs root (a
 * network namespace) and minutes: runs only with {@code -Dborewarden.long=true}; {@code
 * -Dborewarden.long.seconds} sets the length of each run.
 */
@Tag("long")
class PacketLossTest {
  private static final int PORT = 5020;

  @ParameterizedTest
  @ValueSource(ints = {1, 3, 10})
  void theBeatComesThroughPacketLoss(int percent) throws Exception {
    assumeTrue(Boolean.getBoolean("borewarden.long"), "skipped: needs -Dborewarden.long=true");
    Peers.require("ip", "nft");
    int seconds = Integer.getInteger("borewarden.long.seconds", 120);
    try (Namespace cell = new Namespace(percent)) {
      Process process = cell.java(CellProcess.class, cell.host(), "" + PORT, "" + seconds);
      AtomicInteger lost = new AtomicInteger();
      String line = beatUntilItEnds(process, cell.host(), lost);
      System.out.printf(
          "%d %% loss, %d s: %s, link lost %d times%n", percent, seconds, line, lost.get());
      assertThat(line).contains("beats");
    }
  }

  private static String beatUntilItEnds(Process cell, String host, AtomicInteger lost)
      throws Exception {
    LinkMeter meter =
        new LinkMeter() {
          @Override
          public void link(boolean up) {
            lost.addAndGet(up ? 0 : 1);
          }
        };
    Wires wires = new Wires(new Recorder(), System::nanoTime, meter, number -> Optional.empty());
    CellConfig.Modbus like = ModbusClientOutputTest.config(PORT);
    CellConfig.Modbus config =
        new CellConfig.Modbus(
            false,
            host,
            PORT,
            1,
            100,
            200,
            Duration.ofMillis(250),
            like.answerWithin(),
            like.connectWithin(),
            like.echoWithin(),
            List.of());
    ModbusClientOutput output = new ModbusClientOutput("cell-4", config, wires);
    output.start();
    try (LoopStandIn loop = new LoopStandIn(output, Images.permitted(), config.beatEvery())) {
      byte[] bytes = cell.getInputStream().readAllBytes();
      assertThat(loop.beat()).isPositive();
      return new String(bytes, StandardCharsets.UTF_8).trim();
    } finally {
      output.close();
    }
  }

  /** A network of its own behind a pair of interfaces, which loses packets in both directions. */
  private static final class Namespace implements AutoCloseable {
    private final String name;
    private final int net;

    Namespace(int percent) throws IOException {
      this.name = "bw-loss-" + percent;
      this.net = 100 + percent;
      run("ip", "netns", "add", name);
      run("ip", "link", "add", near(), "type", "veth", "peer", "name", "cell0", "netns", name);
      run("ip", "addr", "add", "10.77." + net + ".1/24", "dev", near());
      run("ip", "link", "set", near(), "up");
      inside("ip", "addr", "add", host() + "/24", "dev", "cell0");
      inside("ip", "link", "set", "cell0", "up");
      inside("ip", "link", "set", "lo", "up");
      inside("nft", "add table inet loss");
      for (String hook : List.of("input", "output")) {
        inside(
            "nft",
            "add chain inet loss " + hook + " { type filter hook " + hook + " priority 0; }");
        inside(
            "nft",
            "add rule inet loss "
                + hook
                + " meta l4proto tcp "
                + "numgen random mod 100 < "
                + percent
                + " drop");
      }
    }

    private String near() {
      return "bwl" + net;
    }

    String host() {
      return "10.77." + net + ".2";
    }

    Process java(Class<?> main, String... arguments) throws IOException {
      String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
      java.util.ArrayList<String> command =
          new java.util.ArrayList<>(
              List.of(
                  "ip",
                  "netns",
                  "exec",
                  name,
                  java,
                  "-cp",
                  System.getProperty("java.class.path"),
                  main.getName()));
      command.addAll(List.of(arguments));
      return new ProcessBuilder(command).redirectError(ProcessBuilder.Redirect.INHERIT).start();
    }

    private void inside(String... command) throws IOException {
      java.util.ArrayList<String> whole =
          new java.util.ArrayList<>(List.of("ip", "netns", "exec", name));
      whole.addAll(List.of(command));
      run(whole.toArray(String[]::new));
    }

    private static void run(String... command) throws IOException {
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      process.onExit().orTimeout(10, TimeUnit.SECONDS).join();
      assertThat(process.exitValue()).as("%s: %s", List.of(command), text).isZero();
    }

    @Override
    public void close() throws IOException {
      run("ip", "netns", "del", name);
    }
  }
}
