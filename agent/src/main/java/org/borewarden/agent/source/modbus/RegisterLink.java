package org.borewarden.agent.source.modbus;

import com.digitalpetri.modbus.client.ModbusClient;
import com.digitalpetri.modbus.client.ModbusRtuClient;
import com.digitalpetri.modbus.client.ModbusTcpClient;
import com.digitalpetri.modbus.exceptions.ModbusException;
import com.digitalpetri.modbus.exceptions.ModbusExecutionException;
import com.digitalpetri.modbus.exceptions.ModbusResponseException;
import com.digitalpetri.modbus.exceptions.ModbusTimeoutException;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.ReadInputRegistersRequest;
import com.digitalpetri.modbus.serial.client.SerialPortClientTransport;
import com.digitalpetri.modbus.tcp.client.NettyTcpClientTransport;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Arrays;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.ModbusInLink;
import org.borewarden.agent.config.PortConfig;
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
  private static final int REGISTER_BYTES = 2;

  /** The serial library's number; its 2 stands for one and a half, its parities for our order. */
  private static final int TWO_STOP_BITS = 3;

  /** The next connection waits so long at most until this one is gone. */
  private static final Duration GONE_WITHIN = Duration.ofMillis(100);

  private static final Logger LOG = LoggerFactory.getLogger(RegisterLink.class);

  private final ModbusInLink link;
  private final MonotonicClock clock;
  private final int first;
  private final int count;
  private volatile Optional<ModbusClient> open = Optional.empty();
  private OptionalInt counter = OptionalInt.empty();
  private long dueNanos;

  /**
   * A link that is not yet open.
   *
   * @param link the registers
   * @param clock for the time between two polls
   */
  public RegisterLink(ModbusInLink link, MonotonicClock clock) {
    this.link = link;
    this.clock = clock;
    int last = link.register() + link.type().registers() - 1;
    this.first = Math.min(link.register(), link.counter().orElse(last));
    this.count = Math.max(last, link.counter().orElse(last)) - first + 1;
  }

  @Override
  public void open() throws LinkException {
    close();
    ModbusClient client = link.serial().map(this::overSerial).orElseGet(this::overTcp);
    open = Optional.of(client);
    try {
      client.connect();
      counter = link.counter().isPresent() ? OptionalInt.of(counterOf(poll(client))) : counter;
      dueNanos = clock.nanos();
    } catch (ModbusException failed) {
      close();
      throw failure(failed);
    }
  }

  private ModbusClient overTcp() {
    return ModbusTcpClient.create(
        NettyTcpClientTransport.create(
            config -> {
              config.setHostname(link.host());
              config.setPort(link.port());
              config.setConnectTimeout(link.answerWithin());
              config.setConnectPersistent(false);
            }),
        config -> config.setRequestTimeout(link.answerWithin()));
  }

  private ModbusClient overSerial(PortConfig.Serial serial) {
    return ModbusRtuClient.create(
        SerialPortClientTransport.create(
            config ->
                config
                    .setSerialPort(serial.device())
                    .setBaudRate(serial.baud())
                    .setDataBits(serial.dataBits())
                    .setStopBits(serial.stopBits() == 2 ? TWO_STOP_BITS : 1)
                    .setParity(serial.parity().ordinal())),
        config -> config.setRequestTimeout(link.answerWithin()));
  }

  @Override
  public int read(byte[] buffer) {
    Optional<ModbusClient> client = open;
    if (client.isEmpty()) {
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
      byte[] bytes = poll(client.get());
      if (!isNew(bytes)) {
        return quiet();
      }
      int from = (link.register() - first) * REGISTER_BYTES;
      int to = from + link.type().registers() * REGISTER_BYTES;
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
    Optional<ModbusClient> before = open;
    open = Optional.empty();
    before.ifPresent(
        client ->
            client
                .disconnectAsync()
                .toCompletableFuture()
                .completeOnTimeout(null, GONE_WITHIN.toMillis(), TimeUnit.MILLISECONDS)
                .join());
  }

  @Override
  public boolean isPresent() {
    return true;
  }

  @Override
  public String name() {
    return "register " + link.register() + " of " + link.place();
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
    int at = (link.counter().orElseThrow() - first) * REGISTER_BYTES;
    return ((bytes[at] & 0xFF) << Byte.SIZE) | (bytes[at + 1] & 0xFF);
  }

  private byte[] poll(ModbusClient client)
      throws ModbusExecutionException, ModbusResponseException, ModbusTimeoutException {
    byte[] bytes =
        switch (link.table()) {
          case HOLDING ->
              client
                  .readHoldingRegisters(link.unit(), new ReadHoldingRegistersRequest(first, count))
                  .registers();
          case INPUT ->
              client
                  .readInputRegisters(link.unit(), new ReadInputRegistersRequest(first, count))
                  .registers();
        };
    if (bytes.length != count * REGISTER_BYTES) {
      throw new ModbusExecutionException("answered with " + bytes.length + " bytes");
    }
    return bytes;
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
