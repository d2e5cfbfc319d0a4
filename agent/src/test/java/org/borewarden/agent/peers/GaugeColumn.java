package org.borewarden.agent.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Objects;
import org.junit.jupiter.api.Assumptions;

/** Gauge columns whose registers are polled, the units 2 and 3: pymodbus, as a process. */
public final class GaugeColumn implements AutoCloseable {
  private static final String PYTHON = "/usr/bin/python3";

  private final Process process;
  private final BufferedReader out;
  private final Writer in;
  private final int port;

  /**
   * Over TCP.
   *
   * @param wanted the port; 0 for a free one
   */
  public GaugeColumn(int wanted) throws Exception {
    this(String.valueOf(wanted));
  }

  /**
   * Over TCP or a serial line.
   *
   * @param where a port, or a device
   */
  public GaugeColumn(String where) throws Exception {
    Peers.require("python3");
    Assumptions.assumeTrue(
        "required".equals(System.getProperty("borewarden.peers")) || isInstalled(),
        "skipped: pymodbus is not installed");
    Path script = Path.of(GaugeColumn.class.getResource("/peers/modbus_gauge.py").toURI());
    process =
        new ProcessBuilder(PYTHON, script.toString(), where)
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    out = process.inputReader(StandardCharsets.UTF_8);
    in = process.outputWriter(StandardCharsets.UTF_8);
    port = Integer.parseInt(Objects.requireNonNull(out.readLine()).substring(5));
  }

  private static boolean isInstalled() throws Exception {
    return new ProcessBuilder(PYTHON, "-c", "import pymodbus.server").start().waitFor() == 0;
  }

  /** The port that it listens on; 0 on a serial line. */
  public int port() {
    return port;
  }

  /**
   * Sets registers: table (3 holding, 4 input), first register, values; {@code @3} before them for
   * unit 3. What else can be said stands in the script.
   */
  public void set(String registers) throws IOException {
    in.write(registers + "\n");
    in.flush();
    assertThat(out.readLine()).isEqualTo("set");
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
