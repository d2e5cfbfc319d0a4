package org.borewarden.demo.controller;

import java.io.IOException;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;

/**
 * A simulated cell controller: a Modbus TCP server whose registers a scan of 10 ms works on, with
 * the shipped watchdog program and a small automatic cycle, and with faults that can be switched
 * on. For the demo and for tests; it moves nothing.
 *
 * <p>Thread-safe. The scan runs on its own thread, which owns the program while it scans.
 */
public final class Controller implements AutoCloseable {
  /** Request: a tool or its edge was changed; the argument is the tool's number, 0 all. */
  public static final int TOOL_CHANGED = 1;

  /** Request: an offset was entered; the argument is the change on diameter in 0.1 micrometre. */
  public static final int OFFSET_ENTERED = 2;

  /** Request: the next part is in front of the gauge. */
  public static final int NEXT_PART = 3;

  /** Request: discard the last bore; the argument is the feature's number. */
  public static final int DISCARD_LAST = 4;

  /** Request: a ring check begins. */
  public static final int RING_CHECK = 5;

  private static final Duration SCAN = Duration.ofMillis(10);

  private final Settings settings;
  private final Registers registers;
  private final List<CellListener> listeners = new CopyOnWriteArrayList<>();
  private final Thread scanner = new Thread(this::scanUntilClosed, "demo-controller-scan");

  private Optional<RegisterPort> port = Optional.empty();
  private CellProgram program;
  private int startCount;
  private int boundPort;
  private Optional<StuckBit> stuck = Optional.empty();
  private boolean frozen;
  private boolean wrongEcho;
  private boolean closed;

  /**
   * What a controller is made of.
   *
   * @param host the address to listen on
   * @param port the port; 0 takes a free one
   * @param unit the unit id
   * @param base the first register of block A
   * @param cellBase the first register of block B
   * @param cutTime how long a part takes
   * @param spindle the spindle's number
   * @param tool the boring tool's number
   */
  public record Settings(
      String host,
      int port,
      int unit,
      int base,
      int cellBase,
      Duration cutTime,
      int spindle,
      int tool) {
    /**
     * A controller on the loopback address and a free port.
     *
     * @param cutTime how long a part takes
     * @return settings with unit 1, block A at 100, block B at 200
     */
    public static Settings loopback(Duration cutTime) {
      return new Settings("127.0.0.1", 0, 1, 100, 200, cutTime, 1, 7);
    }
  }

  private record StuckBit(int register, int mask, boolean high) {
    void in(int[] blockA) {
      blockA[register] = high ? blockA[register] | mask : blockA[register] & ~mask;
    }
  }

  private Controller(Settings settings) {
    this.settings = settings;
    this.registers =
        new Registers(settings.unit(), settings.base(), settings.cellBase(), this::written);
    this.boundPort = settings.port();
    this.program = newProgram();
  }

  /**
   * Switches a controller on: in manual, stopped, nothing permitted.
   *
   * @param settings what it is made of
   * @return the running controller
   * @throws IOException when the port cannot be opened
   * @throws InterruptedException when the caller is asked to stop while it opens
   */
  public static Controller start(Settings settings) throws IOException, InterruptedException {
    Controller controller = new Controller(settings);
    controller.powerOn();
    controller.scanner.setDaemon(true);
    controller.scanner.start();
    return controller;
  }

  private CellProgram newProgram() {
    return new CellProgram(
        (int) settings.cutTime().toMillis(), settings.spindle(), settings.tool(), startCount);
  }

  private void scanUntilClosed() {
    long last = System.nanoTime();
    try {
      while (!isClosed()) {
        Thread.sleep(SCAN.toMillis());
        long now = System.nanoTime();
        int elapsedMs = (int) ((now - last) / 1_000_000);
        last += elapsedMs * 1_000_000L;
        scan(elapsedMs);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt(); // closing: the thread ends here
    }
  }

  private void scan(int elapsedMs) {
    List<Part> finished;
    CellState before;
    CellState after;
    synchronized (this) {
      if (frozen || port.isEmpty()) {
        return;
      }
      before = program.state();
      int[] blockA = registers.blockA();
      stuck.ifPresent(bit -> bit.in(blockA));
      finished = program.scan(blockA, elapsedMs);
      after = program.state();
      int[] blockB = program.blockB();
      if (wrongEcho) {
        blockB[1] = (30_000 + blockB[1]) & 0xFFFF;
        blockB[28] = blockB[1];
      }
      registers.show(blockB);
    }
    finished.forEach(part -> listeners.forEach(listener -> listener.partFinished(part)));
    if (!after.equals(before)) {
      listeners.forEach(listener -> listener.changed(after));
    }
  }

  private void written(int[] blockA) {
    listeners.forEach(listener -> listener.written(blockA));
  }

  private synchronized boolean isClosed() {
    return closed;
  }

  /**
   * Adds a listener.
   *
   * @param listener called on the scan thread
   */
  public void listen(CellListener listener) {
    listeners.add(listener);
  }

  /**
   * The port that it listens on.
   *
   * @return the port, also while the power is off
   */
  public synchronized int port() {
    return boundPort;
  }

  /**
   * What can be seen from outside.
   *
   * @return the state after the last scan
   */
  public synchronized CellState state() {
    return program.state();
  }

  /**
   * Block A as the agent last left it.
   *
   * @return a copy of the twenty registers
   */
  public int[] blockA() {
    return registers.blockA();
  }

  /**
   * How often block A was written.
   *
   * @return a count that only grows
   */
  public long writes() {
    return registers.writes();
  }

  /** Presses the cycle start button at the machine; without a permit nothing happens. */
  public synchronized void pressStart() {
    program.pressStart();
  }

  /** Turns the mode switch to manual; a part in the cut is finished. */
  public synchronized void manual() {
    program.manual();
  }

  /**
   * Turns the key of the test mode, in which the program mirrors the bits that the agent walks.
   *
   * @param on whether the cell is in test mode
   */
  public synchronized void testMode(boolean on) {
    program.testMode(on);
  }

  /**
   * Fault: a bit of block A has always the same value for the program, whatever was written.
   *
   * @param register 0 to 19
   * @param bit 0 to 15
   * @param high whether it is always set, else always clear
   */
  public synchronized void stickBit(int register, int bit, boolean high) {
    stuck = Optional.of(new StuckBit(register, 1 << bit, high));
  }

  /**
   * Turns the cell's own bypass key.
   *
   * @param on whether the cell ignores the permit
   */
  public synchronized void ownBypass(boolean on) {
    program.ownBypass(on);
  }

  /**
   * Carries the oldest finished part to the gauge and tells the agent its context.
   *
   * @return the part; empty where none waits
   */
  public synchronized Optional<Part> partToGauge() {
    return program.partToGauge();
  }

  /**
   * The number of the context that the cell last told.
   *
   * @return what register A18 shows once the agent has taken it
   */
  public synchronized int contextTold() {
    return program.contextTold();
  }

  /** Takes the part away from the gauge. */
  public synchronized void takeFromGauge() {
    program.takeFromGauge();
  }

  /** Turns the insert to its next edge and tells the agent. */
  public synchronized void changeTool() {
    program.changeTool();
  }

  /**
   * Asks the agent for something; requests wait until the one before is answered.
   *
   * @param what one of this class's numbers
   * @param argument what goes with it, 0 to 65535
   */
  public synchronized void ask(int what, int argument) {
    program.ask(what, argument);
  }

  /**
   * Sets the part counter, as a person at the panel can.
   *
   * @param count 0 to 2^32 - 1
   */
  public synchronized void partsFinished(long count) {
    program.partsFinished(count);
  }

  /**
   * Fault: the program stops scanning while the server goes on answering.
   *
   * @param on whether it stands still
   */
  public synchronized void freeze(boolean on) {
    frozen = on;
  }

  /**
   * Fault: the echo is some other number than the agent's beat.
   *
   * @param on whether it is wrong
   */
  public synchronized void wrongEcho(boolean on) {
    wrongEcho = on;
  }

  /** Fault: the program starts anew, as after a power cycle that the network did not notice. */
  public synchronized void restart() {
    startCount++;
    registers.clear();
    program = newProgram();
  }

  /**
   * Fault: the power goes; connections break.
   *
   * @throws IOException when the port cannot be closed
   * @throws InterruptedException when the caller is asked to stop while it closes
   */
  public void powerOff() throws IOException, InterruptedException {
    Optional<RegisterPort> open;
    synchronized (this) {
      open = port;
      port = Optional.empty();
    }
    if (open.isPresent()) {
      open.get().close();
    }
  }

  /**
   * The power comes back: a new start, on the same port.
   *
   * @throws IOException when the port cannot be opened
   * @throws InterruptedException when the caller is asked to stop while it opens
   */
  public synchronized void powerOn() throws IOException, InterruptedException {
    if (port.isEmpty()) {
      restart();
      RegisterPort opened = RegisterPort.open(settings.host(), boundPort, registers);
      boundPort = opened.port();
      port = Optional.of(opened);
    }
  }

  @Override
  public void close() throws IOException {
    synchronized (this) {
      closed = true;
    }
    scanner.interrupt();
    try {
      powerOff();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
