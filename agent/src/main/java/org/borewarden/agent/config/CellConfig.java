package org.borewarden.agent.config;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.borewarden.rules.hold.Reason;

/**
 * A machine cell.
 *
 * @param id its name on topics
 * @param modbus the register path to its controller, if there is one
 * @param mqtt the MQTT beat, if it is published; informs, or is the only path
 * @param onLoss what each condition does while it stands
 * @param ackOverdue how long the cell may take to say that it heard a hold
 * @param escalate whether a hold that is not heard in time rises to next safe point
 * @param watchOnlyUntil the last day (ISO 8601) of the cell's watch-only time, if it is in one
 * @param holdTestEvery how often the path of a hold to the cell must be proved
 */
public record CellConfig(
    String id,
    Optional<Modbus> modbus,
    Optional<MqttBeat> mqtt,
    Map<Reason, OnLoss> onLoss,
    Duration ackOverdue,
    boolean escalate,
    Optional<String> watchOnlyUntil,
    Duration holdTestEvery) {
  /** Copies the map. */
  public CellConfig {
    onLoss = Map.copyOf(onLoss);
  }

  /** What a condition does. */
  public enum OnLoss {
    /** It is noted; the permit stays. */
    NOTE,
    /** The permit is withheld while it stands. */
    NOT_READY,
    /** A hold is latched. */
    HOLD
  }

  /**
   * The register path.
   *
   * @param server true where the agent is the Modbus server and the controller polls it
   * @param host the controller's address, or the address to listen on
   * @param port the TCP port, 502 by habit
   * @param unit the unit id, 0 to 255
   * @param base the first holding register of block A; block B follows at {@code cellBase}
   * @param cellBase the first holding register of block B
   * @param beatEvery the beat period
   * @param answerWithin the longest wait for an answer before a new connection
   * @param connectWithin the longest wait for a connection
   * @param echoWithin how long the echo may stand still before the link counts as lost
   * @param peers as server: the addresses that may call, numeric; empty for this machine only
   */
  public record Modbus(
      boolean server,
      String host,
      int port,
      int unit,
      int base,
      int cellBase,
      Duration beatEvery,
      Duration answerWithin,
      Duration connectWithin,
      Duration echoWithin,
      List<String> peers) {
    /** Copies the list. */
    public Modbus {
      peers = List.copyOf(peers);
    }
  }

  /**
   * The MQTT beat.
   *
   * @param beatEvery the beat period
   * @param onlyPath whether MQTT is the cell's only output, so that a lost broker withholds the
   *     permit
   */
  public record MqttBeat(Duration beatEvery, boolean onlyPath) {}
}
