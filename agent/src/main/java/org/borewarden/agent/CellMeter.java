package org.borewarden.agent;

import java.time.Duration;
import org.borewarden.agent.hold.modbus.LinkMeter;
import org.borewarden.agent.observe.HoldMetrics;

/**
 * Counts what a register output tells.
 *
 * @param cell the cell
 * @param holds where it is counted
 */
record CellMeter(String cell, HoldMetrics holds) implements LinkMeter {
  private static final String OUTPUT = "modbus";

  @Override
  public void beatGap(Duration gap) {
    holds.beat(cell, OUTPUT, gap);
  }

  @Override
  public void echoMoved() {
    holds.echoMoved(cell, OUTPUT);
  }

  @Override
  public void withdrawn(Duration latency) {
    holds.withdrawn(latency);
  }

  @Override
  public void link(boolean up) {
    holds.link(cell, OUTPUT, up);
  }

  @Override
  public void refused(String why) {
    holds.refused(cell, why);
  }
}
