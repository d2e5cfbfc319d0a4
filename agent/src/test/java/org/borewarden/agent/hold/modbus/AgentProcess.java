package org.borewarden.agent.hold.modbus;

import java.io.File;
import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * An agent's output with its beats in a process of its own, so that it can be killed or stopped.
 */
final class AgentProcess implements AutoCloseable {
  /** Far more than the process may have. */
  private static final int MOST_MEBIBYTES = 10_000;

  private final Process process;

  AgentProcess(int port) throws IOException {
    String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
    this.process =
        new ProcessBuilder(
                java,
                "-Xmx64m",
                "-XX:+ExitOnOutOfMemoryError", // as in the start script
                "-cp",
                System.getProperty("java.class.path"),
                AgentProcess.class.getName(),
                Integer.toString(port))
            .redirectErrorStream(true)
            .redirectOutput(ProcessBuilder.Redirect.DISCARD)
            .start();
  }

  void kill() {
    process.destroyForcibly();
  }

  /** Makes it use up its memory. */
  void exhaust() throws IOException {
    process.getOutputStream().write('\n');
    process.getOutputStream().flush();
  }

  int awaitEnd() throws InterruptedException {
    return process.waitFor();
  }

  void signal(String name) throws IOException, InterruptedException {
    String pid = Long.toString(process.pid());
    int exit = new ProcessBuilder("/bin/kill", "-" + name, pid).inheritIO().start().waitFor();
    if (exit != 0) {
      throw new IOException("kill -" + name + " gave " + exit);
    }
  }

  static boolean signalsWork() {
    return new File("/bin/kill").canExecute();
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }

  /** Runs until it is killed, or told by a line to use up its memory. */
  public static void main(String[] arguments) throws IOException {
    Wires wires =
        new Wires(new Recorder(), System::nanoTime, LinkMeter.NONE, number -> Optional.empty());
    ModbusClientOutput output =
        new ModbusClientOutput(
            "cell-4", ModbusClientOutputTest.config(Integer.parseInt(arguments[0])), wires);
    output.start();
    try (LoopStandIn beats = new LoopStandIn(output, Images.permitted(), Duration.ofMillis(250))) {
      List<byte[]> kept = new ArrayList<>();
      if (System.in.read() >= 0) {
        while (kept.size() < MOST_MEBIBYTES) {
          kept.add(new byte[1 << 20]);
        }
      }
      throw new IllegalStateException(
          "nobody speaks any more; beat " + beats.beat() + ", " + kept.size() + " MiB used up");
    }
  }
}
