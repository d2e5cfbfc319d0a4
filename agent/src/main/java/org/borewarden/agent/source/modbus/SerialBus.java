package org.borewarden.agent.source.modbus;

import com.digitalpetri.modbus.client.ModbusClient;
import com.digitalpetri.modbus.client.ModbusRtuClient;
import com.digitalpetri.modbus.exceptions.ModbusException;
import com.digitalpetri.modbus.exceptions.ModbusExecutionException;
import com.digitalpetri.modbus.exceptions.ModbusResponseException;
import com.digitalpetri.modbus.exceptions.ModbusTimeoutException;
import com.digitalpetri.modbus.serial.client.SerialPortClientTransport;
import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.ReentrantLock;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.ModbusInLink;
import org.borewarden.agent.config.PortConfig;

/**
 * A serial line with one unit or more (Modbus RTU), which is open while any link uses it. The links
 * have it in turn, in the order in which they asked, each for one request; so a unit that is silent
 * costs the others its waits and nothing else.
 *
 * <p>An answer bears no number, only its unit and function. Had a request been in vain, its answer
 * may still come. Nobody asks that unit again before as long has gone by once more, so that a late
 * answer is never taken for that to another request. To another unit's request it is strange, and
 * that request is made again.
 *
 * <p>Thread-safe.
 */
final class SerialBus implements RegisterServer {
  /** So often is a request made whose answer may have been disturbed by another unit's. */
  private static final int MOST_TRIES = 3;

  /** The serial library's number; its 2 stands for one and a half. */
  private static final int TWO_STOP_BITS = 3;

  private final PortConfig.Serial line;
  private final Duration answerWithin;
  private final MonotonicClock clock;
  private final ReentrantLock turn = new ReentrantLock(true);

  /** When a unit that did not answer may be asked again. */
  private final Map<Integer, Long> restUntilNanos = new ConcurrentHashMap<>();

  private Optional<ModbusClient> connected = Optional.empty();
  private int users;

  /** Requests in vain since the last answer of any unit. */
  private int inVain;

  /** The unit that was asked in vain last, and when that was known. */
  private Optional<Silence> silence = Optional.empty();

  private record Silence(int unit, long atNanos) {}

  SerialBus(PortConfig.Serial line, Duration answerWithin, MonotonicClock clock) {
    this.line = line;
    this.answerWithin = answerWithin;
    this.clock = clock;
  }

  /** Whether a link may share it. */
  boolean fits(ModbusInLink link) {
    return link.serial().filter(line::equals).isPresent()
        && link.answerWithin().equals(answerWithin);
  }

  @Override
  public void open() throws ModbusException, InterruptedException {
    synchronized (this) {
      users++;
    }
    turn.lockInterruptibly();
    try {
      if (client().filter(c -> c.isConnected() && !allSilent()).isEmpty()) {
        hangUp();
        ModbusClient client = overSerial();
        client.connect();
        connected(client);
      }
    } finally {
      turn.unlock();
    }
  }

  /** Closed in between, the line is not kept open for nobody. */
  private void connected(ModbusClient client) throws ModbusExecutionException {
    synchronized (this) {
      if (users > 0) {
        inVain = 0;
        connected = Optional.of(client);
        return;
      }
    }
    RegisterServer.hangUp(client);
    throw new ModbusExecutionException("the line was closed");
  }

  /** A device that was pulled out and put back looks like units that are silent, all of them. */
  private synchronized boolean allSilent() {
    return inVain > users;
  }

  @Override
  public byte[] read(ModbusInLink link, int first, int count)
      throws ModbusException, InterruptedException {
    for (int tries = 1; ; tries++) {
      takeTurn(link.unit());
      try {
        byte[] bytes = RegisterServer.ask(clientOrGone(), link, first, count);
        answered();
        return bytes;
      } catch (ModbusResponseException refused) {
        answered();
        throw refused;
      } catch (ModbusException failed) {
        if (Thread.interrupted()) {
          throw new InterruptedException();
        }
        boolean again = tries < MOST_TRIES && mayBeAnothers(link.unit(), failed);
        vain(link.unit());
        if (!again) {
          throw failed;
        }
      } finally {
        turn.unlock();
      }
    }
  }

  /** Takes the line for a unit whose late answer, if one was awaited, would have come by now. */
  private void takeTurn(int unit) throws InterruptedException {
    turn.lockInterruptibly();
    long left = restNanos(unit);
    while (left > 0) {
      turn.unlock();
      TimeUnit.NANOSECONDS.sleep(left);
      turn.lockInterruptibly();
      left = restNanos(unit);
    }
  }

  private long restNanos(int unit) {
    Long until = restUntilNanos.get(unit);
    return until == null ? 0 : until - clock.nanos();
  }

  private synchronized Optional<ModbusClient> client() {
    return connected;
  }

  private ModbusClient clientOrGone() throws ModbusExecutionException {
    return client().orElseThrow(() -> new ModbusExecutionException("the line is closed"));
  }

  private synchronized void answered() {
    inVain = 0;
  }

  /** Bytes that do not add up, or no answer soon after another unit gave none. */
  private synchronized boolean mayBeAnothers(int unit, ModbusException failed) {
    if (connected.isEmpty()) {
      return false;
    }
    long recently = clock.nanos() - 2 * answerWithin.toNanos() - 2 * GONE_WITHIN.toNanos();
    return !(failed instanceof ModbusTimeoutException)
        || silence.filter(s -> s.unit() != unit && s.atNanos() - recently > 0).isPresent();
  }

  private synchronized void vain(int unit) {
    long now = clock.nanos();
    inVain++;
    silence = Optional.of(new Silence(unit, now));
    restUntilNanos.put(unit, now + answerWithin.toNanos());
  }

  @Override
  public void close() {
    boolean last;
    synchronized (this) {
      users--;
      last = users == 0;
    }
    if (last) {
      hangUp();
    }
  }

  private void hangUp() {
    Optional<ModbusClient> before;
    synchronized (this) {
      before = connected;
      connected = Optional.empty();
    }
    before.ifPresent(RegisterServer::hangUp);
  }

  private ModbusClient overSerial() {
    return ModbusRtuClient.create(
        SerialPortClientTransport.create(
            config ->
                config
                    .setSerialPort(line.device())
                    .setBaudRate(line.baud())
                    .setDataBits(line.dataBits())
                    .setStopBits(line.stopBits() == 2 ? TWO_STOP_BITS : 1)
                    .setParity(parity(line.parity()))),
        config -> config.setRequestTimeout(answerWithin));
  }

  /** The library's numbers. */
  private static int parity(PortConfig.Parity parity) {
    return switch (parity) {
      case NONE -> 0;
      case ODD -> 1;
      case EVEN -> 2;
      case MARK -> 3;
      case SPACE -> 4;
    };
  }
}
