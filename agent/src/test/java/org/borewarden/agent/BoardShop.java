package org.borewarden.agent;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.demo.controller.Controller;
import org.borewarden.rules.file.yaml.Outcome;

/** Northworks' cell 4 with a board: the real agent in this process, a controller and a gauge. */
@SuppressWarnings("try") // Who waits for the end of a process may be interrupted.
final class BoardShop implements AutoCloseable {
  private static final Duration BEAT = Duration.ofMillis(250);

  private final Path folder;
  private final int port;
  private final ServerSocket gauge = new ServerSocket(0, 4, InetAddress.getLoopbackAddress());
  private final BlockingQueue<Socket> plugged = new LinkedBlockingQueue<>();
  private final Controller cell =
      Controller.start(Controller.Settings.loopback(Duration.ofMillis(300)));
  private Socket line = new Socket();
  private AutoCloseable agent = () -> {};

  BoardShop(Path folder, String agentYaml, String rulesYaml)
      throws IOException, InterruptedException {
    this.folder = folder;
    this.port = free();
    Files.writeString(folder.resolve("rules.yaml"), rulesYaml, StandardCharsets.UTF_8);
    Files.writeString(
        folder.resolve("agent.yaml"),
        agentYaml
            .replace("@GAUGE@", "127.0.0.1:" + gauge.getLocalPort())
            .replace("@CELL@", Integer.toString(cell.port()))
            .replace("@BOARD@", Integer.toString(port)),
        StandardCharsets.UTF_8);
    Thread accepting = new Thread(this::accept, "gauge");
    accepting.setDaemon(true);
    accepting.start();
  }

  /** So that a page finds its board again after a restart. */
  private static int free() throws IOException {
    try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return socket.getLocalPort();
    }
  }

  private void accept() {
    try {
      while (!gauge.isClosed()) {
        plugged.put(gauge.accept());
      }
    } catch (IOException closed) {
      // The test is over.
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
    }
  }

  void startAgent() throws Exception {
    ReadFiles files = ReadFiles.of(folder.resolve("agent.yaml"));
    if (!files.problems().isEmpty()) {
      throw new AssertionError(files.problems());
    }
    AgentConfig config = ((Outcome.Good<AgentConfig>) files.config()).value();
    agent = Wiring.start(config, new RulesInForce(files), BEAT);
    line = plugged.take();
    send(""); // a terminator: else the first frame would be doubted, its beginning not being known
  }

  void stopAgent() throws Exception {
    agent.close();
    agent = () -> {};
    line.close();
  }

  void send(String... values) throws IOException {
    for (String value : values) {
      line.getOutputStream().write((value + "\r\n").getBytes(StandardCharsets.US_ASCII));
    }
    line.getOutputStream().flush();
  }

  String address() {
    return "http://127.0.0.1:" + port;
  }

  Controller cell() {
    return cell;
  }

  @Override
  public void close() throws Exception {
    stopAgent();
    cell.close();
    gauge.close();
  }
}
