package org.borewarden.demo.machine;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.InetAddress;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import org.borewarden.demo.Await;
import org.junit.jupiter.api.Test;

class GaugePortTest {
  @Test
  void aConnectedClientGetsTheLineWithItsEnd() throws IOException {
    try (GaugePort port = GaugePort.open(0);
        Socket client = connect(port)) {
      port.send("62.013 mm");
      byte[] bytes = client.getInputStream().readNBytes(11);
      assertThat(new String(bytes, StandardCharsets.US_ASCII)).isEqualTo("62.013 mm\r\n");
    }
  }

  @Test
  void whatIsSentWhileNobodyIsConnectedIsGone() throws IOException {
    try (GaugePort port = GaugePort.open(0)) {
      port.send("62.001 mm");
      try (Socket client = connect(port)) {
        port.send("62.002 mm");
        byte[] bytes = client.getInputStream().readNBytes(9);
        assertThat(new String(bytes, StandardCharsets.US_ASCII)).isEqualTo("62.002 mm");
      }
    }
  }

  @Test
  void aDroppedClientSeesTheEndAndMayComeBack() throws IOException {
    try (GaugePort port = GaugePort.open(0)) {
      try (Socket client = connect(port)) {
        port.dropClients();
        assertThat(client.getInputStream().read()).isEqualTo(-1);
      }
      try (Socket client = connect(port)) {
        port.sendBytes(new byte[] {'x'});
        assertThat(client.getInputStream().read()).isEqualTo('x');
      }
    }
  }

  private static Socket connect(GaugePort port) throws IOException {
    int before = port.clients();
    Socket client = new Socket(InetAddress.getLoopbackAddress(), port.port());
    client.setSoTimeout(10_000);
    Await.until("the client is known", () -> port.clients() > before);
    return client;
  }
}
