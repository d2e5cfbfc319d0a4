package org.borewarden.agent.source.modbus;

import com.digitalpetri.modbus.exceptions.ModbusException;
import com.digitalpetri.modbus.exceptions.ModbusResponseException;
import com.digitalpetri.modbus.exceptions.ModbusTimeoutException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.OptionalInt;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.ModbusInLink;
import org.borewarden.agent.source.ByteLink;
import org.borewarden.agent.source.LinkException;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Polls registers, and gives each new value as a line of decimal digits. With a counter a value is
 * new when the counter has changed; what stood there at opening may be an old one and is passed
 * over. Value and counter are read by one request, so that they belong together.
 */
public final class RegisterLink implements ByteLink {
  private static final Logger LOG = LoggerFactory.getLogger(RegisterLink.class);

  private final ModbusInLink link;
  private final MonotonicClock clock;
  private final int first;
  private final int count;
  private final RegisterServer server;
  private final AtomicBoolean open = new AtomicBoolean();
  private OptionalInt counter = OptionalInt.empty();
  private long dueNanos;

  /** A link that is not yet open. */
  RegisterLink(ModbusInLink link, RegisterServer server, MonotonicClock clock) {
    this.link = link;
    this.server = server;
    this.clock = clock;
    int last = link.register() + link.type().registers() - 1;
    this.first = Math.min(link.register(), link.counter().orElse(last));
    this.count = Math.max(last, link.counter().orElse(last)) - first + 1;
  }

  @Override
  public void open() throws LinkException {
    close();
    try {
      open.set(true);
      server.open();
      // Only a unit that answers is called connected.
      byte[] standing = server.read(link, first, count);
      counter = link.counter().isPresent() ? OptionalInt.of(counterOf(standing)) : counter;
      dueNanos = clock.nanos();
    } catch (ModbusException failed) {
      close();
      throw failure(failed);
    } catch (InterruptedException stop) {
      close();
      Thread.currentThread().interrupt();
      throw new LinkException("stopped", "a stop was asked for");
    }
  }

  @Override
  public int read(byte[] buffer) {
    if (!open.get()) {
      return -1;
    }
    try {
      long left = dueNanos - clock.nanos();
      if (left > TimeUnit.MILLISECONDS.toNanos(TICK_MILLIS)) {
        Thread.sleep(TICK_MILLIS);
        return 0;
      }
      TimeUnit.NANOSECONDS.sleep(Math.max(0, left));
      dueNanos = Math.max(dueNanos + link.every().toNanos(), clock.nanos());
      byte[] bytes = server.read(link, first, count);
      if (!isNew(bytes)) {
        return quiet();
      }
      int from = (link.register() - first) * RegisterServer.REGISTER_BYTES;
      int to = from + link.type().registers() * RegisterServer.REGISTER_BYTES;
      String text = RegisterNumber.text(link, Arrays.copyOfRange(bytes, from, to)) + "\n";
      byte[] line = text.getBytes(StandardCharsets.ISO_8859_1);
      System.arraycopy(line, 0, buffer, 0, line.length);
      return line.length;
    } catch (ModbusException failed) {
      LOG.info("{}: {}", name(), failure(failed).detail());
      return -1;
    } catch (InterruptedException stop) {
      Thread.currentThread().interrupt();
      return -1;
    }
  }

  @Override
  public boolean beginsWhole() {
    return true;
  }

  @Override
  public void close() {
    if (open.getAndSet(false)) {
      server.close();
    }
  }

  @Override
  public boolean isPresent() {
    return true;
  }

  @Override
  public String name() {
    return link.serial().isPresent()
        ? "register " + link.register() + " of unit " + link.unit() + " on " + link.place()
        : "register " + link.register() + " of " + link.place();
  }

  /** An unchanged counter is an answer and no silence; the reader counts it as neither. */
  private int quiet() throws InterruptedException {
    long left = dueNanos - clock.nanos();
    Thread.sleep(Math.min(TICK_MILLIS, Math.max(0, TimeUnit.NANOSECONDS.toMillis(left))));
    return 0;
  }

  private boolean isNew(byte[] bytes) {
    if (link.counter().isEmpty()) {
      return true;
    }
    int now = counterOf(bytes);
    boolean changed = counter.isEmpty() || counter.getAsInt() != now;
    counter = OptionalInt.of(now);
    return changed;
  }

  private int counterOf(byte[] bytes) {
    int at = (link.counter().orElseThrow() - first) * RegisterServer.REGISTER_BYTES;
    return ((bytes[at] & 0xFF) << Byte.SIZE) | (bytes[at + 1] & 0xFF);
  }

  private LinkException failure(ModbusException failed) {
    String start = "cannot read " + name() + ": ";
    if (failed instanceof ModbusResponseException answer) {
      return new LinkException(
          "refused-by-server", start + "the server answers exception " + answer.getExceptionCode());
    }
    if (failed instanceof ModbusTimeoutException) {
      return new LinkException(
          "no-answer", start + "no answer within " + link.answerWithin().toMillis() + " ms");
    }
    return new LinkException("refused", start + "refused or not reachable");
  }
}
