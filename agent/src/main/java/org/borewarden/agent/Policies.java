package org.borewarden.agent;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.config.CellConfig;
import org.borewarden.agent.config.CommandConfig;
import org.borewarden.rules.engine.CellPolicy;
import org.borewarden.rules.hold.Reason;

/** What the config says of a cell, as the engine records it. */
final class Policies {
  private Policies() {}

  static CellPolicy of(CellConfig cell, CommandConfig commands) {
    return new CellPolicy(
        cell.id(),
        with(cell, CellConfig.OnLoss.NOTE),
        with(cell, CellConfig.OnLoss.HOLD),
        cell.modbus().isPresent(),
        cell.mqtt().map(CellConfig.MqttBeat::onlyPath).orElse(false),
        cell.ackOverdue(),
        cell.escalate(),
        cell.watchOnlyUntil(),
        hasPath(cell) ? Optional.of(cell.holdTestEvery()) : Optional.empty(),
        commands.twoPersons());
  }

  /** Beats that only inform hold nobody, so that there is no path to prove. */
  private static boolean hasPath(CellConfig cell) {
    return cell.modbus().isPresent()
        || cell.mqtt().map(CellConfig.MqttBeat::onlyPath).orElse(false);
  }

  private static List<Reason> with(CellConfig cell, CellConfig.OnLoss what) {
    return cell.onLoss().entrySet().stream()
        .filter(entry -> entry.getValue() == what)
        .map(Map.Entry::getKey)
        .sorted()
        .toList();
  }
}
