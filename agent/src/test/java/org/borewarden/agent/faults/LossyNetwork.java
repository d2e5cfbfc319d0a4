package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.fail;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.agent.journal.Machine;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.TestBroker;

/**
 * A network namespace with a relay to the broker in it; on request the kernel drops packets between
 * the agent and the relay at random, both ways. The broker has to listen on {@link #listener()}.
 */
final class LossyNetwork implements AutoCloseable {
  private static final int RELAY_PORT = 1883;
  private static final Pattern DROPPED = Pattern.compile("counter packets (\\d+)");

  private final String name;
  private final String near;
  private final String far;
  private final int brokerPort = TestBroker.freePort();
  private Optional<Process> relay = Optional.empty();

  private LossyNetwork() {
    long pid = ProcessHandle.current().pid();
    String net = "10." + (80 + pid / 250 % 100) + "." + pid % 250;
    name = "bwf" + pid;
    near = net + ".1";
    far = net + ".2";
  }

  /** Empty where the machine does not grant it; fails where that is required. */
  static Optional<LossyNetwork> open() throws Exception {
    LossyNetwork network = new LossyNetwork();
    String refused =
        Peers.available("ip") && Peers.available("nft") && Peers.available("socat")
            ? Machine.run("ip", "netns", "add", network.name)
            : "ip, nft or socat is not installed";
    if (!refused.isEmpty()) {
      if ("required".equals(System.getProperty("borewarden.peers"))) {
        fail("a network namespace: " + refused);
      }
      System.err.println("no packets are lost here: " + refused);
      return Optional.empty();
    }
    network.wire();
    return Optional.of(network);
  }

  private void wire() throws Exception {
    must("ip", "link", "add", name, "type", "veth", "peer", "name", "agent0", "netns", name);
    must("ip", "addr", "add", near + "/24", "dev", name);
    must("ip", "link", "set", name, "up");
    inside("ip", "addr", "add", far + "/24", "dev", "agent0");
    inside("ip", "link", "set", "agent0", "up");
    inside("nft", "add table inet loss");
    for (String hook : List.of("input", "output")) {
      inside(
          "nft", "add chain inet loss " + hook + " { type filter hook " + hook + " priority 0; }");
    }
  }

  /** The lines of the broker's configuration that let the relay in. */
  String listener() {
    return "listener " + brokerPort + " " + near;
  }

  /** Starts the relay; the broker runs. */
  void start() throws Exception {
    relay =
        Optional.of(
            new ProcessBuilder(
                    within(
                        "socat",
                        "TCP-LISTEN:" + RELAY_PORT + ",bind=" + far + ",fork,reuseaddr,nodelay",
                        "TCP:" + near + ":" + brokerPort + ",nodelay"))
                .redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .start());
    Waits.until("the relay", this::answers);
  }

  private boolean answers() {
    try (Socket socket = new Socket()) {
      socket.connect(new InetSocketAddress(far, RELAY_PORT), 500);
      return true;
    } catch (IOException notYet) {
      return false;
    }
  }

  /** Where the agent finds the broker. */
  URI agentSide() {
    return URI.create("mqtt://" + far + ":" + RELAY_PORT);
  }

  /** Drops this share of the packets from now on, each way. */
  void lose(int percent) throws Exception {
    String drop = " numgen random mod 100 < " + percent + " counter drop";
    inside("nft", "add rule inet loss input tcp dport " + RELAY_PORT + drop);
    inside("nft", "add rule inet loss output tcp sport " + RELAY_PORT + drop);
  }

  /** How many packets were dropped since the last healing. */
  long dropped() throws Exception {
    Process list =
        new ProcessBuilder(within("nft", "list table inet loss")).redirectErrorStream(true).start();
    String text = new String(list.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(list.waitFor()).as(text).isZero();
    long dropped = 0;
    for (Matcher rule = DROPPED.matcher(text); rule.find(); ) {
      dropped += Long.parseLong(rule.group(1));
    }
    return dropped;
  }

  void heal() throws Exception {
    inside("nft", "flush table inet loss");
  }

  private void inside(String... command) throws Exception {
    must(within(command).toArray(String[]::new));
  }

  private List<String> within(String... command) {
    List<String> whole = new ArrayList<>(List.of("ip", "netns", "exec", name));
    whole.addAll(Arrays.asList(command));
    return whole;
  }

  private static void must(String... command) throws Exception {
    assertThat(Machine.run(command)).as(String.join(" ", command)).isEmpty();
  }

  /** Ends the relay and whatever else lives in the namespace, and takes it away. */
  @Override
  public void close() throws IOException {
    relay.ifPresent(Process::destroyForcibly);
    Process pids = new ProcessBuilder("ip", "netns", "pids", name).start();
    String inside = new String(pids.getInputStream().readAllBytes(), StandardCharsets.US_ASCII);
    inside
        .lines()
        .map(pid -> ProcessHandle.of(Long.parseLong(pid.strip())))
        .forEach(process -> process.ifPresent(ProcessHandle::destroyForcibly));
    try {
      assertThat(Machine.run("ip", "netns", "del", name)).isEmpty();
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }
}
