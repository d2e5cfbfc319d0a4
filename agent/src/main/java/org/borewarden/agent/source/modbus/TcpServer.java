package org.borewarden.agent.source.modbus;

import com.digitalpetri.modbus.client.ModbusClient;
import com.digitalpetri.modbus.client.ModbusTcpClient;
import com.digitalpetri.modbus.exceptions.ModbusException;
import com.digitalpetri.modbus.exceptions.ModbusExecutionException;
import com.digitalpetri.modbus.tcp.client.NettyTcpClientTransport;
import java.util.Optional;
import org.borewarden.agent.config.ModbusInLink;

/** A server over TCP: each link has a connection of its own. */
final class TcpServer implements RegisterServer {
  private final ModbusInLink link;
  private volatile Optional<ModbusClient> connected = Optional.empty();

  TcpServer(ModbusInLink link) {
    this.link = link;
  }

  @Override
  public void open() throws ModbusException {
    ModbusClient client =
        ModbusTcpClient.create(
            NettyTcpClientTransport.create(
                config -> {
                  config.setHostname(link.host());
                  config.setPort(link.port());
                  config.setConnectTimeout(link.answerWithin());
                  config.setConnectPersistent(false);
                }),
            config -> config.setRequestTimeout(link.answerWithin()));
    connected = Optional.of(client);
    client.connect();
  }

  @Override
  public byte[] read(ModbusInLink asked, int first, int count) throws ModbusException {
    ModbusClient client =
        connected.orElseThrow(() -> new ModbusExecutionException("the connection is closed"));
    return RegisterServer.ask(client, asked, first, count);
  }

  @Override
  public void close() {
    Optional<ModbusClient> before = connected;
    connected = Optional.empty();
    before.ifPresent(RegisterServer::hangUp);
  }
}
