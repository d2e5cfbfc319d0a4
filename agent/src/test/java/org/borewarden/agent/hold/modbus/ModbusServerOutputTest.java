package org.borewarden.agent.hold.modbus;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.digitalpetri.modbus.client.ModbusTcpClient;
import com.digitalpetri.modbus.exceptions.ModbusException;
import com.digitalpetri.modbus.exceptions.ModbusResponseException;
import com.digitalpetri.modbus.exceptions.ModbusTimeoutException;
import com.digitalpetri.modbus.pdu.ReadCoilsRequest;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.WriteMultipleRegistersRequest;
import com.digitalpetri.modbus.tcp.client.NettyTcpClientTransport;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.UnknownHostException;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import org.borewarden.demo.controller.Watchdog;
import org.borewarden.rules.part.StopKind;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The controller calls the agent. */
class ModbusServerOutputTest {
  private final List<String> refused = new CopyOnWriteArrayList<>();
  private final Recorder inbox = new Recorder();
  private final Wires wires =
      new Wires(inbox, System::nanoTime, meter(), number -> Optional.empty());
  private ModbusServerOutput output;
  private ModbusTcpClient client;
  private LoopStandIn loop;

  @BeforeEach
  void start() throws Exception {
    open(List.of());
  }

  private LinkMeter meter() {
    return new LinkMeter() {
      @Override
      public void refused(String why) {
        refused.add(why);
      }
    };
  }

  private void open(List<String> peers) throws Exception {
    output = new ModbusServerOutput("cell-4", ForeignPeersTest.serverConfig(peers), wires);
    output.start();
    loop = new LoopStandIn(output, Images.permitted(), Duration.ofMillis(100));
    Await.until("open", () -> output.port().isPresent() && loop.beat() > 0);
    client = client(output.port().orElseThrow());
    client.connect();
  }

  @AfterEach
  void stop() throws Exception {
    client.disconnect();
    loop.close();
    output.close();
  }

  @Test
  void aPollingControllerSeesThePermitAndItsEchoBringsTheLinkUp() throws Exception {
    Watchdog watchdog = new Watchdog();
    pollUntil(watchdog, () -> watchdog.permit() && output.linkUp());
    assertThat(inbox.links()).containsExactly(true);
    loop.show(Images.held(5, StopKind.END_OF_PART));
    pollUntil(
        watchdog,
        () -> inbox.report().filter(r -> r.heardHold() == 5).isPresent() && !watchdog.permit());
  }

  @Test
  void aControllerThatNoLongerCallsIsALostLink() throws Exception {
    Watchdog watchdog = new Watchdog();
    pollUntil(watchdog, output::linkUp);
    Await.until("lost", () -> !output.linkUp());
    Await.until("told", () -> inbox.links().size() == 2);
    pollUntil(watchdog, output::linkUp);
    Await.until("told again", () -> inbox.links().size() == 3);
    assertThat(inbox.links()).containsExactly(true, false, true);
  }

  @Test
  void onlyTheMapExistsAndOnlyBlockBCanBeWritten() {
    assertThatThrownBy(() -> read(99, 2)).hasMessageContaining("0x02");
    assertThatThrownBy(() -> read(119, 2)).hasMessageContaining("0x02");
    assertThatThrownBy(() -> read(228, 2)).hasMessageContaining("0x02");
    assertThatThrownBy(() -> write(100, new int[20])).hasMessageContaining("0x02");
    assertThatThrownBy(() -> write(200, new int[30])).hasMessageContaining("0x02");
    assertThatThrownBy(() -> client.readCoils(1, new ReadCoilsRequest(0, 1)))
        .isInstanceOf(ModbusResponseException.class)
        .hasMessageContaining("0x01");
  }

  @Test
  void anotherUnitGetsNoAnswer() {
    assertThatThrownBy(
            () -> client.readHoldingRegisters(2, new ReadHoldingRegistersRequest(100, 1)))
        .isInstanceOf(ModbusTimeoutException.class);
  }

  @Test
  void onlyANamedPeerIsLetInAndTheOthersAreCounted() throws Exception {
    stop();
    open(List.of("192.0.2.7", "2001:db8::7"));
    assertThatThrownBy(() -> read(100, 1)).as("cut off").isInstanceOf(Exception.class);
    Await.until("counted", () -> refused.contains("peer"));
    assertThat(refused).containsOnly("peer");
    stop();
    open(List.of("192.0.2.7", "127.0.0.1"));
    assertThat(read(100, 1)[0]).isEqualTo(0x0101);
  }

  private static InetSocketAddress caller(int... address) throws UnknownHostException {
    byte[] bytes = new byte[address.length];
    for (int i = 0; i < bytes.length; i++) {
      bytes[i] = (byte) address[i];
    }
    return new InetSocketAddress(InetAddress.getByAddress(bytes), 4711);
  }

  @Test
  void whereNobodyIsNamedThisMachineMayCallAndNoOther() throws Exception {
    List<String> why = new ArrayList<>();
    LinkMeter counts =
        new LinkMeter() {
          @Override
          public void refused(String key) {
            why.add(key);
          }
        };
    Peers peers = new Peers("cell-4", List.of(), counts);
    assertThat(peers.allow(caller(127, 0, 0, 1))).isTrue();
    assertThat(peers.allow(caller(0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1))).isTrue();
    assertThat(peers.allow(caller(192, 168, 10, 20))).isFalse();
    assertThat(peers.allow(caller(192, 168, 10, 20))).isFalse();
    assertThat(why).containsExactly("peer", "peer");
  }

  @Test
  void aBlockThatIsWrittenInTwoPiecesCountsWhenItIsWhole() throws Exception {
    int[] b = new int[29];
    b[0] = 0x0101;
    b[1] = b[28] = 3;
    b[8] = 1;
    write(200, java.util.Arrays.copyOf(b, 20));
    write(220, java.util.Arrays.copyOfRange(b, 20, 29));
    Await.until("the words", () -> inbox.report().filter(r -> r.partsToGauge() == 1).isPresent());
    assertThat(inbox.reports()).hasSize(1);
  }

  @Test
  void beforeTheFirstBeatAndAfterTheLastOneThereIsNoPermit() throws Exception {
    ModbusServerOutput silent =
        new ModbusServerOutput("cell-5", ForeignPeersTest.serverConfig(List.of()), wires);
    silent.start();
    Await.until("open", () -> silent.port().isPresent());
    ModbusTcpClient caller = client(silent.port().orElseThrow());
    caller.connect();
    byte[] bytes =
        caller.readHoldingRegisters(1, new ReadHoldingRegistersRequest(100, 20)).registers();
    assertThat(bytes).containsOnly(0);
    caller.disconnect();
    silent.close();
    assertThat(silent.port()).isEmpty();
  }

  private static ModbusTcpClient client(int port) {
    NettyTcpClientTransport transport =
        NettyTcpClientTransport.create(
            config -> {
              config.setHostname("127.0.0.1");
              config.setPort(port);
              config.setConnectPersistent(false);
            });
    return ModbusTcpClient.create(
        transport, config -> config.setRequestTimeout(Duration.ofSeconds(3)));
  }

  private void pollUntil(Watchdog watchdog, java.util.function.BooleanSupplier condition)
      throws ModbusException {
    long end = System.nanoTime() + Duration.ofSeconds(30).toNanos();
    long last = System.nanoTime();
    while (!condition.getAsBoolean()) {
      long now = System.nanoTime();
      assertThat(now - end).as("in time").isNegative();
      watchdog.scan(read(100, 20), (int) ((now - last) / 1_000_000), false, false, false);
      last = now;
      int[] b = new int[29];
      b[0] = 0x0101;
      b[1] = b[28] = watchdog.echo();
      b[2] = watchdog.heard() ? 1 << 4 : 0;
      b[3] = watchdog.heardNumber();
      b[4] = watchdog.heardKind();
      write(200, b);
      java.util.concurrent.locks.LockSupport.parkNanos(20_000_000);
    }
  }

  private int[] read(int from, int count) throws ModbusException {
    return ControllerConnection.words(
        client.readHoldingRegisters(1, new ReadHoldingRegistersRequest(from, count)).registers());
  }

  private void write(int from, int[] words) throws ModbusException {
    client.writeMultipleRegisters(
        1,
        new WriteMultipleRegistersRequest(from, words.length, ControllerConnection.bytes(words)));
  }
}
