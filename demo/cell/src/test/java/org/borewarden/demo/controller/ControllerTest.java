package org.borewarden.demo.controller;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.digitalpetri.modbus.client.ModbusTcpClient;
import com.digitalpetri.modbus.exceptions.ModbusResponseException;
import com.digitalpetri.modbus.pdu.ReadHoldingRegistersRequest;
import com.digitalpetri.modbus.pdu.WriteMultipleRegistersRequest;
import com.digitalpetri.modbus.tcp.client.NettyTcpClientTransport;
import java.time.Duration;
import org.borewarden.demo.Await;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The simulated controller over a real connection. */
class ControllerTest {
  private Controller controller;
  private ModbusTcpClient client;
  private int beat;

  @BeforeEach
  void start() throws Exception {
    controller = Controller.start(Controller.Settings.loopback(Duration.ofMillis(40)));
    int port = controller.port();
    client =
        ModbusTcpClient.create(
            NettyTcpClientTransport.create(
                config -> {
                  config.setHostname("127.0.0.1");
                  config.setPort(port);
                  config.setConnectPersistent(false);
                }));
    client.connect();
  }

  @AfterEach
  void stop() throws Exception {
    client.disconnect();
    controller.close();
  }

  @Test
  void partsAreCutOnlyWithAPermitAndALocalStart() throws Exception {
    beatUntilPermit();
    assertThat(controller.state().inCycle()).isFalse();
    controller.pressStart();
    beatUntil("three parts", () -> controller.state().partsFinished() >= 3);

    write(new Image(9, Image.after(beat), 0, 0));
    Await.until("stopped", () -> controller.state().stoppedAtStart());
    long parts = controller.state().partsFinished();
    beatUntilPermit();
    assertThat(controller.state().partsFinished()).isEqualTo(parts);
  }

  @Test
  void aPartAtTheGaugeIsToldWithItsSerialAndANewContextNumber() throws Exception {
    beatUntilPermit();
    controller.pressStart();
    beatUntil("a part", () -> controller.state().partsToGauge() > 0);
    Part part = controller.partToGauge().orElseThrow();
    Await.until("the context is shown", () -> read(223, 1)[0] == 1);

    int[] b = read(200, 29);
    assertThat(b[27]).isEqualTo(b[23]);
    assertThat(b[9]).isEqualTo(7);
    assertThat((char) (b[15] >> 8)).isEqualTo(part.serial().charAt(0));
    assertThat((char) (b[15] & 0xFF)).isEqualTo(part.serial().charAt(1));
  }

  @Test
  void registersOutsideTheMapAreRefusedWithException02() {
    assertThatThrownBy(() -> read(200, 30))
        .hasRootCauseInstanceOf(ModbusResponseException.class)
        .rootCause()
        .hasMessageContaining("0x02");
  }

  private void beatUntilPermit() throws Exception {
    beatUntil("a permit", () -> controller.state().permit());
  }

  private void beatUntil(String what, java.util.function.BooleanSupplier condition)
      throws Exception {
    long end = System.nanoTime() + Duration.ofSeconds(30).toNanos();
    while (!condition.getAsBoolean()) {
      assertThat(System.nanoTime() - end).as(what).isNegative();
      write(Image.permit(9, Image.after(beat)));
      int written = beat;
      Await.until("the beat is echoed", () -> read(201, 1)[0] == written);
    }
  }

  private void write(Image image) throws Exception {
    beat = image.beat();
    int[] a = image.registers();
    byte[] bytes = new byte[40];
    for (int i = 0; i < 20; i++) {
      bytes[2 * i] = (byte) (a[i] >> 8);
      bytes[2 * i + 1] = (byte) a[i];
    }
    client.writeMultipleRegisters(1, new WriteMultipleRegistersRequest(100, 20, bytes));
  }

  private int[] read(int from, int count) {
    try {
      byte[] bytes =
          client.readHoldingRegisters(1, new ReadHoldingRegistersRequest(from, count)).registers();
      int[] words = new int[count];
      for (int i = 0; i < count; i++) {
        words[i] = (bytes[2 * i] & 0xFF) << 8 | (bytes[2 * i + 1] & 0xFF);
      }
      return words;
    } catch (com.digitalpetri.modbus.exceptions.ModbusException e) {
      throw new AssertionError(e);
    }
  }
}
