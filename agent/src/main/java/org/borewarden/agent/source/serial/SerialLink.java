package org.borewarden.agent.source.serial;

import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.borewarden.agent.config.Asking;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.config.PortConfig.Flow;
import org.borewarden.agent.source.LinkException;
import org.borewarden.agent.source.TwoWayLink;

/**
 * A serial port. Each attempt looks the device's name up again, since a replugged adapter may stand
 * behind another node, and uses a driver object of its own. The port is locked against other users
 * of the lock; a program that opens it without asking still steals bytes.
 */
public final class SerialLink implements TwoWayLink {
  private final PortConfig.Serial serial;
  private volatile Optional<SerialPort> open = Optional.empty();
  private final PortCloser closer;

  /**
   * A link that is not yet open.
   *
   * @param serial the port
   */
  public SerialLink(PortConfig.Serial serial) {
    this.serial = serial;
    this.closer = new PortCloser(serial.device());
  }

  @Override
  public void open() throws LinkException {
    close();
    if (closer.isClosing()) {
      throw new LinkException(
          "closing", "cannot open " + name() + ": the driver has not yet closed it");
    }
    SerialPort port = prepared();
    if (!port.openPort()) {
      throw refused(port.getLastErrorCode());
    }
    swap(Optional.of(port));
  }

  @Override
  public int read(byte[] buffer) {
    return open.map(port -> port.readBytes(buffer, buffer.length)).orElse(-1);
  }

  @Override
  public boolean write(byte[] bytes) {
    return open.map(port -> port.writeBytes(bytes, bytes.length) == bytes.length).orElse(false);
  }

  @Override
  public boolean isRaised(Asking.Line line) {
    return open.map(
            port ->
                switch (line) {
                  case CTS -> port.getCTS();
                  case DSR -> port.getDSR();
                })
        .orElse(false);
  }

  @Override
  public void close() {
    swap(Optional.empty()).ifPresent(closer::close);
  }

  /** A name without a slash, such as COM3, cannot be looked for. */
  @Override
  public boolean isPresent() {
    return !serial.device().startsWith("/") || Files.exists(Path.of(serial.device()));
  }

  @Override
  public String name() {
    return serial.device();
  }

  private synchronized Optional<SerialPort> swap(Optional<SerialPort> next) {
    Optional<SerialPort> before = open;
    open = next;
    return before;
  }

  /** The driver also says "no such device" of one that this process has open already. */
  private LinkException refused(int errno) {
    OpenError error = OpenError.of(errno);
    boolean standsThere = error == OpenError.GONE && isPresent();
    return (standsThere ? OpenError.OTHER : error).failure(name(), errno);
  }

  private SerialPort prepared() throws LinkException {
    try {
      SerialPort port = SerialPort.getCommPort(serial.device());
      port.setComPortParameters(
          serial.baud(), serial.dataBits(), stopBits(serial.stopBits()), parity());
      port.setFlowControl(flow());
      // Semi-blocking: returns at once with what there is, and with nothing after the timeout.
      port.setComPortTimeouts(SerialPort.TIMEOUT_READ_SEMI_BLOCKING, TICK_MILLIS, 0);
      setLines(port);
      return port;
    } catch (SerialPortInvalidPortException gone) {
      throw OpenError.GONE.failure(name());
    } catch (LinkageError driver) {
      throw new LinkException(
          "no-driver",
          "cannot open "
              + name()
              + ": the serial driver's native library could not be loaded; set"
              + " -DjSerialComm.library.path to its folder ("
              + driver.getMessage()
              + ")");
    }
  }

  /** Set before opening, so that the driver opens with these levels and never with others. */
  private void setLines(SerialPort port) {
    if (serial.dtr()) {
      port.setDTR();
    } else {
      port.clearDTR();
    }
    if (serial.rts()) {
      port.setRTS();
    } else {
      port.clearRTS();
    }
  }

  private static int stopBits(int bits) {
    return bits == 2 ? SerialPort.TWO_STOP_BITS : SerialPort.ONE_STOP_BIT;
  }

  private int parity() {
    return switch (serial.parity()) {
      case NONE -> SerialPort.NO_PARITY;
      case ODD -> SerialPort.ODD_PARITY;
      case EVEN -> SerialPort.EVEN_PARITY;
      case MARK -> SerialPort.MARK_PARITY;
      case SPACE -> SerialPort.SPACE_PARITY;
    };
  }

  private int flow() {
    Flow flow = serial.flow();
    return switch (flow) {
      case NONE -> SerialPort.FLOW_CONTROL_DISABLED;
      case RTS_CTS -> SerialPort.FLOW_CONTROL_RTS_ENABLED | SerialPort.FLOW_CONTROL_CTS_ENABLED;
      case XON_XOFF ->
          SerialPort.FLOW_CONTROL_XONXOFF_IN_ENABLED | SerialPort.FLOW_CONTROL_XONXOFF_OUT_ENABLED;
    };
  }
}
