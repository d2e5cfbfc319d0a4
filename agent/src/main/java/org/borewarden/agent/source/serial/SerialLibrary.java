package org.borewarden.agent.source.serial;

import com.fazecast.jSerialComm.SerialPort;

/** The native library behind the serial ports. */
public final class SerialLibrary {
  private SerialLibrary() {}

  /**
   * Loads it now instead of with the first port. From then on the process ignores SIGHUP, among
   * others (seen with 2.11.4), so that whoever wants to hear it asks for it afterwards.
   *
   * @return its version
   */
  public static String load() {
    return SerialPort.getVersion();
  }
}
