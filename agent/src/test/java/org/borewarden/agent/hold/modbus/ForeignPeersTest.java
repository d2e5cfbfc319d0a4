package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.agent.peers.Peers;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;

/** The outputs against Modbus programs that are not ours. */
class ForeignPeersTest {
  private static final String PYTHON = "/usr/bin/python3";

  /** What the foreign cell says of the part, its serial of the 16 characters of the map. */
  private static final PartContext TOLD =
      new PartContext(
          OptionalLong.of(40),
          Optional.of("N-17"),
          Optional.of("7"),
          Optional.of("2"),
          Optional.empty(),
          Optional.empty(),
          Optional.empty(),
          Optional.of("bearing-seat"));

  private final Recorder inbox = new Recorder();
  private final Wires wires =
      new Wires(
          inbox,
          System::nanoTime,
          LinkMeter.NONE,
          number ->
              number == 3
                  ? Optional.of(new NumberedFeature("bearing-seat", "bore-1"))
                  : Optional.empty());

  @Test
  void aForeignServerSeesThePermitAndTheHoldAndItsWordsReachTheInbox() throws Exception {
    requirePymodbus();
    try (PythonCell cell = new PythonCell()) {
      ModbusClientOutput output =
          new ModbusClientOutput("cell-4", ModbusClientOutputTest.config(cell.port()), wires);
      output.start();
      try (LoopStandIn loop = new LoopStandIn(output, Images.permitted(), Duration.ofMillis(100))) {
        Await.until("permit", () -> cell.said("permit 1 hold 0 kind 0"));
        Await.until("link", output::linkUp);
        cell.tellPart();
        Await.until(
            "the part at the gauge",
            () -> inbox.report().map(CellReport::context).filter(TOLD::equals).isPresent());
        cell.set(2, 0b10011);
        cell.set(4, 2);
        loop.show(Images.held(77, StopKind.NEXT_SAFE_POINT));
        Await.until("hold", () -> cell.said("permit 0 hold 77 kind 1"));
        Await.until(
            "heard",
            () ->
                inbox
                    .report()
                    .filter(
                        r ->
                            r.heardHold() == 77
                                && r.inCycle()
                                && r.heardKind().equals(Optional.of(StopKind.NEXT_SAFE_POINT)))
                    .isPresent());
      } finally {
        output.close();
      }
    }
  }

  @Test
  void aForeignServerThatDiesAndComesBackSeesNoPermitFirst() throws Exception {
    requirePymodbus();
    try (PythonCell cell = new PythonCell()) {
      ModbusClientOutput output =
          new ModbusClientOutput("cell-4", ModbusClientOutputTest.config(cell.port()), wires);
      output.start();
      try (LoopStandIn loop = new LoopStandIn(output, Images.permitted(), Duration.ofMillis(100))) {
        Await.until("permit", () -> cell.said("permit 1"));
        assertThat(cell.lines().get(1)).startsWith("permit 0");
        cell.kill();
        Await.until("lost", () -> !output.linkUp());
        assertThat(loop.beat()).isPositive();
      } finally {
        output.close();
      }
    }
  }

  @Test
  void aForeignClientReadsBlockAAndWritesBlockBOfOurServer() throws Exception {
    Peers.require("mbpoll");
    try (ServerRig rig = new ServerRig()) {
      rig.loop.stall(true);
      int beat = rig.loop.beat();
      List<Integer> a = mbpollRead(rig.port(), 100, 20);
      assertThat(a.get(0)).isEqualTo(0x0101);
      assertThat(a.get(1)).isEqualTo(beat);
      assertThat(a.get(2)).isEqualTo(1);
      assertThat(a.get(3)).isEqualTo(1 ^ beat ^ 0xA55A);
      assertThat(a.get(4)).isEqualTo(Images.BOOT);
      assertThat(a.get(19)).isEqualTo(beat);

      List<Integer> b = new ArrayList<>(java.util.Collections.nCopies(29, 0));
      b.set(0, 0x0101);
      b.set(1, beat);
      b.set(2, 1);
      b.set(7, 42);
      b.set(28, beat);
      assertThat(mbpollWrite(rig.port(), 200, b)).contains("Written 29 references");
      Await.until(
          "the words",
          () -> inbox.report().filter(r -> r.partsFinished().equals(Optional.of(42L))).isPresent());
      assertThat(inbox.report().orElseThrow().automatic()).isTrue();
    }
  }

  @Test
  void aForeignClientIsRefusedOutsideTheMapAndInBlockA() throws Exception {
    Peers.require("mbpoll");
    try (ServerRig rig = new ServerRig()) {
      assertThat(mbpoll(rig.port(), 120, 1, List.of())).contains("Illegal data address");
      assertThat(mbpoll(rig.port(), 199, 3, List.of())).contains("Illegal data address");
      assertThat(mbpollWrite(rig.port(), 102, List.of(1, 1))).contains("Illegal data address");
      assertThat(mbpollWrite(rig.port(), 228, List.of(1, 1))).contains("Illegal data address");
    }
  }

  private final class ServerRig implements AutoCloseable {
    private final ModbusServerOutput output =
        new ModbusServerOutput("cell-4", serverConfig(List.of()), wires);
    private final LoopStandIn loop;

    ServerRig() {
      output.start();
      loop = new LoopStandIn(output, Images.permitted(), Duration.ofMillis(100));
      Await.until("open", () -> output.port().isPresent() && loop.beat() > 0);
    }

    int port() {
      return output.port().orElseThrow();
    }

    @Override
    public void close() {
      loop.close();
      output.close();
    }
  }

  static CellConfig.Modbus serverConfig(List<String> peers) {
    return new CellConfig.Modbus(
        true,
        "127.0.0.1",
        0,
        1,
        100,
        200,
        Duration.ofMillis(100),
        Duration.ofMillis(400),
        Duration.ofMillis(500),
        Duration.ofSeconds(1),
        peers);
  }

  private static List<Integer> mbpollRead(int port, int from, int count) throws Exception {
    List<Integer> values = new ArrayList<>();
    for (String line : mbpoll(port, from, count, List.of()).split("\n", -1)) {
      if (line.startsWith("[")) {
        String value = line.substring(line.indexOf(':') + 1).trim();
        values.add(Integer.parseInt(value.split(" ", -1)[0]) & 0xFFFF);
      }
    }
    return values;
  }

  private static String mbpollWrite(int port, int from, List<Integer> values) throws Exception {
    return mbpoll(port, from, values.size(), values);
  }

  private static String mbpoll(int port, int from, int count, List<Integer> values)
      throws Exception {
    List<String> command = new ArrayList<>();
    command.add(Peers.program("mbpoll").toString());
    command.addAll(List.of("-m", "tcp", "-p", "" + port, "-a", "1", "-0", "-r", "" + from));
    if (values.isEmpty()) {
      command.addAll(List.of("-c", "" + count));
    }
    command.addAll(List.of("-t", "4", "-1", "-o", "5", "127.0.0.1"));
    values.forEach(value -> command.add(value.toString()));
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    process.waitFor(30, TimeUnit.SECONDS);
    return text;
  }

  private static void requirePymodbus() throws Exception {
    Peers.require("python3");
    int exit = -1;
    if (Path.of(PYTHON).toFile().canExecute()) {
      exit = new ProcessBuilder(PYTHON, "-c", "import pymodbus.server").start().waitFor();
    }
    if (exit != 0 && "required".equals(System.getProperty("borewarden.peers"))) {
      Assertions.fail("pymodbus is not installed, and peers are required");
    }
    Assumptions.assumeTrue(exit == 0, "skipped: pymodbus is not installed");
  }

  /** The cell in Python, as a process. */
  private static final class PythonCell implements AutoCloseable {
    private final Process process;
    private final Writer in;
    private final List<String> lines = new CopyOnWriteArrayList<>();

    PythonCell() throws Exception {
      Path script = Path.of(ForeignPeersTest.class.getResource("/peers/modbus_cell.py").toURI());
      process =
          new ProcessBuilder(PYTHON, script.toString())
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start();
      in = process.outputWriter(StandardCharsets.UTF_8);
      Thread reader = new Thread(this::read, "python-cell");
      reader.setDaemon(true);
      reader.start();
      Await.until("the port", () -> !lines.isEmpty());
    }

    private void read() {
      try (BufferedReader reader =
          new BufferedReader(
              new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
        for (String line = reader.readLine(); line != null; line = reader.readLine()) {
          lines.add(line);
        }
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }

    int port() {
      return Integer.parseInt(lines.get(0).substring("port ".length()));
    }

    boolean said(String start) {
      return lines.stream().anyMatch(line -> line.startsWith(start));
    }

    List<String> lines() {
      return lines;
    }

    void set(int register, int value) throws IOException {
      in.write("B " + register + " " + value + "\n");
      in.flush();
    }

    /** Part 42 less 2, tool 7, spindle 2, serial N-17; then the feature 3 by request. */
    void tellPart() throws IOException {
      int[][] words = {
        {7, 42}, {8, 2}, {9, 7}, {11, 2}, {15, 0x4E2D}, {16, 0x3137}, {23, 1}, {27, 1}
      };
      for (int[] word : words) {
        set(word[0], word[1]);
      }
      Await.until("the part taken", () -> register(18) == 1);
      set(26, 3);
      set(25, 7);
      set(24, 1);
      Await.until("the request answered", () -> register(16) == 1 && register(17) == 0);
    }

    private int register(int number) {
      try {
        in.write("A\n");
        in.flush();
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
      return lines.stream()
          .filter(line -> line.startsWith("A "))
          .reduce((before, last) -> last)
          .map(line -> Integer.parseInt(line.split(" ", -1)[1 + number]))
          .orElse(-1);
    }

    void kill() {
      process.destroyForcibly();
    }

    @Override
    public void close() {
      kill();
    }
  }
}
