package org.borewarden.agent.source.modbus;

import java.util.HashMap;
import java.util.Map;
import org.borewarden.agent.clock.MonotonicClock;
import org.borewarden.agent.config.ModbusInLink;
import org.borewarden.agent.config.PortConfig;

/** Makes the links to registers; those on one serial line share it. Used by one thread. */
public final class RegisterLinks {
  private final MonotonicClock clock;
  private final Map<String, SerialBus> buses = new HashMap<>();

  /**
   * A maker of links.
   *
   * @param clock for the time between two polls
   */
  public RegisterLinks(MonotonicClock clock) {
    this.clock = clock;
  }

  /**
   * A link that is not yet open.
   *
   * @param link the registers
   * @return with a connection of its own, or the line that it shares
   * @throws IllegalArgumentException when another link named the same line with other settings,
   *     which the config refuses
   */
  public RegisterLink of(ModbusInLink link) {
    return new RegisterLink(
        link,
        link.serial().map(line -> bus(line, link)).orElseGet(() -> new TcpServer(link)),
        clock);
  }

  private RegisterServer bus(PortConfig.Serial line, ModbusInLink link) {
    SerialBus bus =
        buses.computeIfAbsent(
            line.device(), device -> new SerialBus(line, link.answerWithin(), clock));
    if (!bus.fits(link)) {
      throw new IllegalArgumentException("expected one setting for " + line.device());
    }
    return bus;
  }
}
