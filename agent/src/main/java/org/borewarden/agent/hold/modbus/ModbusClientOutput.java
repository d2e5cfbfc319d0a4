package org.borewarden.agent.hold.modbus;

import java.time.Duration;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.locks.LockSupport;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.rules.hold.AnswerCode;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * The agent calls the controller: at each beat one write of block A, then one read of block B. An
 * answer that does not come in time costs the connection; the next connection begins with a newer
 * beat, never with the one that failed, and its first write is without permit.
 *
 * <p>One thread of its own, which owns the connection, gives permits and takes the answers. {@link
 * #beat} runs on the loop thread and never waits; an image without permit is written by that thread
 * itself, so that a hold passes through no other one.
 */
public final class ModbusClientOutput implements ModbusOutput {
  /** The first pause after a connection that could not be made; doubled up to the longest. */
  public static final Duration BACK_OFF_FIRST = Duration.ofMillis(250);

  /** The longest pause between two tries to connect. */
  public static final Duration BACK_OFF_MOST = Duration.ofSeconds(2);

  private static final Logger LOG = LoggerFactory.getLogger(ModbusClientOutput.class);
  private static final Duration SLICE = Duration.ofMillis(50);
  private static final Duration CLOSE_WITHIN = Duration.ofMillis(1800);

  private final String cell;
  private final CellConfig.Modbus config;
  private final Wires wires;
  private final CellSide side;
  private final Thread thread;
  private final Newest<Given> newest;
  private final BeatOrder order;
  private volatile boolean closing;

  // From here on: the output's thread only.
  private Optional<ControllerConnection> connection = Optional.empty();
  private Optional<Shown> lastWritten = Optional.empty();
  private boolean proven;
  private OptionalLong writtenAt = OptionalLong.empty();
  private String told = "";
  private Duration backOff = Duration.ZERO;

  /**
   * Makes an output; it does nothing until it is started.
   *
   * @param cell the cell's id
   * @param config where its controller is
   * @param wires what it hangs on
   */
  public ModbusClientOutput(String cell, CellConfig.Modbus config, Wires wires) {
    this.cell = cell;
    this.config = config;
    this.wires = wires;
    this.side = new CellSide(cell, wires, config.echoWithin());
    this.thread = new Thread(this::run, "hold-modbus-" + cell);
    this.newest = new Newest<>(thread);
    this.order = new BeatOrder(side, wires);
  }

  @Override
  public String cell() {
    return cell;
  }

  @Override
  public void start() {
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void beat(int beat, PermitImage image) {
    side.given();
    Shown shown = new Shown(beat, image, wires.clock().nanos());
    newest.put(new Given(shown, shown.permits() ? Optional.empty() : order.withdraw(shown)));
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

  private void run() {
    try {
      while (!closing) {
        if (connection.isEmpty()) {
          connect();
        } else {
          newest.take(SLICE.toNanos()).ifPresent(this::show);
        }
        side.tick();
      }
      leaveWithoutPermit();
    } finally {
      connection.ifPresent(ControllerConnection::close);
    }
  }

  private void connect() {
    pause(backOff);
    if (closing) {
      return;
    }
    ControllerConnection made = new ControllerConnection(config);
    connection = Optional.of(made);
    proven = false;
    if (await(made.connect(), config.connectWithin().plus(SLICE), "connect").isPresent()) {
      order.opened(made);
    }
  }

  private void pause(Duration time) {
    long end = wires.clock().nanos() + time.toNanos();
    for (long left = time.toNanos(); left > 0 && !closing; left = end - wires.clock().nanos()) {
      LockSupport.parkNanos(this, Math.min(left, SLICE.toNanos()));
      side.tick();
    }
  }

  private void show(Given given) {
    Optional<BeatOrder.Sent> sent =
        given
            .sent()
            .filter(earlier -> connection.filter(earlier.on()::equals).isPresent())
            .or(() -> order.write(given.shown()));
    if (sent.isEmpty() || !written(given.shown(), sent.get())) {
      return; // a newer one is on its way, or the connection is lost
    }
    if (withdrawalWaits(given.shown())) {
      return; // the read can wait, a withdrawn permit cannot
    }
    order.read().flatMap(read -> await(read, config.answerWithin(), "read")).ifPresent(this::took);
  }

  private boolean written(Shown shown, BeatOrder.Sent sent) {
    lastWritten = Optional.of(shown);
    if (await(sent.answer(), config.answerWithin(), "write").isEmpty()) {
      return false;
    }
    long now = wires.clock().nanos();
    writtenAt.ifPresent(last -> wires.meter().beatGap(Duration.ofNanos(now - last)));
    writtenAt = OptionalLong.of(now);
    return true;
  }

  private boolean withdrawalWaits(Shown written) {
    return written.permits() && newest.peek().filter(next -> !next.shown().permits()).isPresent();
  }

  private void took(int[] blockB) {
    proven = true;
    backOff = Duration.ZERO;
    if (!told.equals("connected")) {
      told = "connected";
      LOG.info("{}: connected to the controller at {}:{}", cell, config.host(), config.port());
    }
    side.take(blockB);
  }

  /** Waits in slices, so that a standing echo is seen meanwhile; a failure costs the connection. */
  private <T> Optional<T> await(CompletableFuture<T> answer, Duration limit, String what) {
    long end = wires.clock().nanos() + limit.toNanos();
    for (long left = limit.toNanos(); left > 0; left = end - wires.clock().nanos()) {
      try {
        return Optional.of(answer.get(Math.min(left, SLICE.toNanos()), TimeUnit.NANOSECONDS));
      } catch (TimeoutException e) {
        side.tick(); // the slice is over, the limit is not
      } catch (ExecutionException e) {
        lose(what, String.valueOf(e.getCause()));
        return Optional.empty();
      } catch (InterruptedException e) {
        closing = true; // only close() interrupts, when it has waited long enough
        return Optional.empty();
      }
    }
    lose(what, "no answer within " + limit.toMillis() + " ms");
    return Optional.empty();
  }

  private void lose(String what, String detail) {
    wires.meter().refused(what);
    order.closed();
    connection.ifPresent(ControllerConnection::close);
    connection = Optional.empty();
    backOff = proven ? Duration.ZERO : longer(backOff);
    if (!told.equals(what)) {
      told = what;
      LOG.warn("{}: {} {}:{}: {}", cell, what, config.host(), config.port(), detail);
    }
  }

  private static Duration longer(Duration pause) {
    Duration doubled = pause.isZero() ? BACK_OFF_FIRST : pause.multipliedBy(2);
    return doubled.compareTo(BACK_OFF_MOST) > 0 ? BACK_OFF_MOST : doubled;
  }

  /** The last word: the newest beat that we were given, or the last one again, without permit. */
  private void leaveWithoutPermit() {
    newest
        .peek()
        .map(Given::shown)
        .or(() -> lastWritten)
        .ifPresent(last -> order.writeWithoutPermit(last).ifPresent(sent -> written(last, sent)));
    order.closed();
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
