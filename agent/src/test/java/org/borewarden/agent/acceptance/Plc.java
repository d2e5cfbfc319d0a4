package org.borewarden.agent.acceptance;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.net.URISyntaxException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Predicate;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Assumptions;

/**
 * The cell's controller: a Modbus server in Python that keeps the watchdog of the time contract and
 * says what a machine's program would see.
 */
final class Plc implements AutoCloseable {
  private static final String PYTHON = "/usr/bin/python3";
  private static final int CELL_WORD = 2;
  private static final int AUTOMATIC_AND_HEARS = 0b10001;

  private final Process process;
  private final Writer in;
  private final List<String> dumps = new CopyOnWriteArrayList<>();
  private final List<Seen> seen = new CopyOnWriteArrayList<>();
  private final List<Integer> port = new CopyOnWriteArrayList<>();

  /**
   * What the cell's program sees: the permit only where it believes the beats.
   *
   * @param permit whether a part may be started
   * @param hold the hold's number
   * @param reason the reason number
   * @param latched whether a hold is latched
   * @param feature the feature number of the first cause
   * @param boot the agent's boot id
   */
  record Seen(boolean permit, int hold, int reason, boolean latched, int feature, int boot) {
    static Seen of(String line) {
      String[] words = line.split(" ", -1);
      return new Seen(
          words[1].equals("1"),
          Integer.parseInt(words[3]),
          Integer.parseInt(words[7]),
          words[9].equals("1"),
          Integer.parseInt(words[11]),
          Integer.parseInt(words[13]));
    }
  }

  private Plc(Process process) {
    this.process = process;
    this.in = process.outputWriter(StandardCharsets.UTF_8);
  }

  /** Starts one that is in automatic and says which hold it heard. */
  static Plc start() throws IOException, InterruptedException {
    requirePymodbus();
    Process process =
        new ProcessBuilder(PYTHON, script().toString())
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    Plc plc = new Plc(process);
    Lines.follow("plc", process.getInputStream(), plc::said);
    Waiting.until("the controller to listen", () -> !plc.port.isEmpty());
    plc.tell("B " + CELL_WORD + " " + AUTOMATIC_AND_HEARS);
    return plc;
  }

  private static Path script() {
    try {
      return Path.of(Plc.class.getResource("/peers/modbus_cell.py").toURI());
    } catch (URISyntaxException noFile) {
      throw new IllegalStateException(noFile);
    }
  }

  private static void requirePymodbus() throws IOException, InterruptedException {
    Peers.require("python3");
    boolean there =
        Path.of(PYTHON).toFile().canExecute()
            && new ProcessBuilder(PYTHON, "-c", "import pymodbus.server").start().waitFor() == 0;
    if (!there && "required".equals(System.getProperty("borewarden.peers"))) {
      Assertions.fail("pymodbus is not installed, and peers are required");
    }
    Assumptions.assumeTrue(there, "skipped: pymodbus is not installed");
  }

  private void said(String line) {
    if (line.startsWith("port ")) {
      port.add(Integer.parseInt(line.substring("port ".length())));
    } else if (line.startsWith("A ")) {
      dumps.add(line.substring("A ".length()));
    } else {
      seen.add(Seen.of(line));
    }
  }

  private void tell(String line) {
    try {
      in.write(line + "\n");
      in.flush();
    } catch (IOException ended) {
      throw new UncheckedIOException(ended);
    }
  }

  int port() {
    return port.get(0);
  }

  /** The twenty registers that the agent writes, as they stand now. */
  List<Integer> registers() {
    int before = dumps.size();
    tell("A");
    Waiting.until("the registers", () -> dumps.size() > before);
    return Arrays.stream(dumps.get(before).split(" ", -1)).map(Integer::valueOf).toList();
  }

  /** What the program sees now. */
  Optional<Seen> now() {
    return seen.isEmpty() ? Optional.empty() : Optional.of(seen.get(seen.size() - 1));
  }

  /** All that it saw so far, in order. */
  List<Seen> history() {
    return new ArrayList<>(seen);
  }

  boolean permitted() {
    return now().map(Seen::permit).orElse(false);
  }

  void awaitPermit() {
    Waiting.until("the permit at the controller", this::permitted);
  }

  Seen await(String what, Predicate<Seen> condition) {
    return Waiting.first(what + " at the controller", () -> now().filter(condition));
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
