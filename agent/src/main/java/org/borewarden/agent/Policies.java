package org.borewarden.agent;

import java.util.List;
import java.util.Map;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.rules.engine.CellPolicy;
import org.borewarden.rules.hold.Reason;

/** What the config says of a cell, as the engine records it. */
final class Policies {
  private Policies() {}

  static CellPolicy of(CellConfig cell) {
    return new CellPolicy(
        cell.id(),
        with(cell, CellConfig.OnLoss.NOTE),
        with(cell, CellConfig.OnLoss.HOLD),
        cell.modbus().isPresent(),
        cell.mqtt().map(CellConfig.MqttBeat::onlyPath).orElse(false),
        cell.ackOverdue(),
        cell.escalate(),
        cell.watchOnlyUntil());
  }

  private static List<Reason> with(CellConfig cell, CellConfig.OnLoss what) {
    return cell.onLoss().entrySet().stream()
        .filter(entry -> entry.getValue() == what)
        .map(Map.Entry::getKey)
        .sorted()
        .toList();
  }
}
