package org.borewarden.agent.hold.modbus;

import java.io.IOException;
import java.time.Duration;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.rules.hold.AnswerCode;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The controller calls the agent: it reads block A and writes block B. A beat is shown the moment
 * the loop gives it; the link is lost when the controller does not write our echo in time.
 *
 * <p>One thread of its own takes what the controller wrote; {@link #beat} runs on the loop thread
 * and never waits.
 */
public final class ModbusServerOutput implements ModbusOutput {
  private static final Logger LOG = LoggerFactory.getLogger(ModbusServerOutput.class);
  private static final Duration SLICE = Duration.ofMillis(50);
  private static final Duration OPEN_AGAIN = Duration.ofSeconds(2);
  private static final Duration CLOSE_WITHIN = Duration.ofMillis(1800);

  private final String cell;
  private final CellConfig.Modbus config;
  private final Wires wires;
  private final CellSide side;
  private final AgentRegisters registers;
  private final Peers peers;
  private final Thread thread;
  private final Newest<int[]> written;
  private volatile boolean closing;
  private volatile OptionalInt port = OptionalInt.empty();

  // Guarded by this.
  private OptionalLong polledAt = OptionalLong.empty();
  private OptionalLong withdrawnAt = OptionalLong.empty();
  private boolean permitted;

  /**
   * Makes an output; it does nothing until it is started.
   *
   * @param cell the cell's id
   * @param config the address to listen on; port 0 takes a free one
   * @param wires what it hangs on
   */
  public ModbusServerOutput(String cell, CellConfig.Modbus config, Wires wires) {
    this.cell = cell;
    this.config = config;
    this.wires = wires;
    this.side = new CellSide(cell, wires, config.echoWithin());
    this.peers = new Peers(cell, config.peers(), wires.meter());
    this.thread = new Thread(this::run, "hold-modbus-" + cell);
    this.written = new Newest<>(thread);
    this.registers = new AgentRegisters(config, wires.meter(), this::polled, written::put);
  }

  @Override
  public String cell() {
    return cell;
  }

  /**
   * The port that it listens on.
   *
   * @return the port; empty while it is not open
   */
  public OptionalInt port() {
    return port;
  }

  @Override
  public void start() {
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void beat(int beat, PermitImage image) {
    side.shown(beat);
    side.given();
    registers.show(side.blockA(beat, image, image.hold().permitted(), true));
    noted(image.hold().permitted());
  }

  private synchronized void noted(boolean permits) {
    if (permitted && !permits) {
      withdrawnAt = OptionalLong.of(wires.clock().nanos());
    }
    permitted = permits;
  }

  @Override
  public void answered(String commandId, AnswerCode code) {
    side.answered(commandId, code);
  }

  @Override
  public boolean linkUp() {
    return side.linkUp();
  }

  @Override
  public Duration echoAge() {
    return side.echoAge();
  }

  private synchronized void polled() {
    long now = wires.clock().nanos();
    polledAt.ifPresent(last -> wires.meter().beatGap(Duration.ofNanos(now - last)));
    polledAt = OptionalLong.of(now);
    withdrawnAt.ifPresent(since -> wires.meter().withdrawn(Duration.ofNanos(now - since)));
    withdrawnAt = OptionalLong.empty();
  }

  private void run() {
    Optional<ListeningPort> open = Optional.empty();
    try {
      while (!closing) {
        if (open.isEmpty()) {
          open = open();
        }
        written.take(SLICE.toNanos()).ifPresent(side::take);
        side.tick();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } finally {
      registers.show(RegisterMap.withoutPermit(registers.shown()));
      open.ifPresent(this::close);
    }
  }

  private Optional<ListeningPort> open() throws InterruptedException {
    try {
      ListeningPort opened = ListeningPort.open(config.host(), config.port(), peers, registers);
      port = OptionalInt.of(opened.port());
      LOG.info(
          "{}: {} may call {}:{}",
          cell,
          config.peers().isEmpty() ? "this machine" : String.join(", ", config.peers()),
          config.host(),
          opened.port());
      return Optional.of(opened);
    } catch (IOException e) {
      wires.meter().refused("connect");
      LOG.warn("{}: {}; trying again every {} s", cell, e.getMessage(), OPEN_AGAIN.toSeconds());
      long end = wires.clock().nanos() + OPEN_AGAIN.toNanos();
      while (!closing && wires.clock().nanos() - end < 0) {
        LockSupport.parkNanos(this, SLICE.toNanos());
        side.tick();
      }
      return Optional.empty();
    }
  }

  private void close(ListeningPort open) {
    port = OptionalInt.empty();
    try {
      open.close();
    } catch (IOException e) {
      LOG.warn("{}: {}", cell, e.getMessage());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    closing = true;
    LockSupport.unpark(thread);
    try {
      thread.join(CLOSE_WITHIN.toMillis());
      thread.interrupt();
    } catch (InterruptedException e) {
      thread.interrupt();
      Thread.currentThread().interrupt();
    }
  }
}
