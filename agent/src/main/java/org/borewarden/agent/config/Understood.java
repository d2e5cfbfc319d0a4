package org.borewarden.agent.config;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.CellConfig.Modbus;
import org.borewarden.agent.config.CellConfig.MqttBeat;
import org.borewarden.rules.file.FalseSignalWords;
import org.borewarden.rules.file.FeatureWords;
import org.borewarden.rules.file.ReadinessWords;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.RuleSet;

/** Says in words what both files were understood to be, for a person to compare. */
public final class Understood {
  private Understood() {}

  /**
   * The text that {@code check} prints for good files. No secret stands in it.
   *
   * @param config what agent.yaml says
   * @param checked what rules.yaml says, held against it
   * @param today the day (ISO 8601), for what is past its date
   * @return the agent in a few lines, then feature by feature, then the notes
   */
  public static List<String> lines(AgentConfig config, ConfigCheck.Checked checked, String today) {
    List<String> lines = new ArrayList<>();
    RuleSet rules = checked.rules();
    lines.add("agent " + config.agent() + ", topics below " + config.root());
    lines.add("  broker: " + config.broker().map(Understood::broker).orElse("none"));
    lines.add("  data: " + config.data());
    lines.add("  metrics: " + http(config.http()));
    lines.add("  commands: " + commands(config));
    int count = rules.features().size();
    String features = count == 1 ? "1 feature" : count + " features";
    lines.add("rules revision " + rules.revision() + ", " + features);
    for (Feature feature : rules.features()) {
      lines.addAll(FeatureWords.of(feature));
      lines.add("  gauge: " + gauge(config, feature));
      lines.add("  cell: " + cell(config, feature));
    }
    lines.addAll(FeatureWords.pools(rules));
    lines.addAll(ReadinessWords.of(rules, today));
    lines.addAll(FalseSignalWords.of(rules));
    checked.notes().forEach(note -> lines.add("note: " + note));
    return List.copyOf(lines);
  }

  private static String broker(BrokerConfig broker) {
    String version = broker.version() == BrokerConfig.Version.V5 ? "MQTT 5" : "MQTT 3.1.1";
    String user = broker.user().map(u -> ", user " + u).orElse(", no user");
    String secured = "mqtts".equals(broker.url().getScheme()) ? "" : ", not encrypted";
    return broker.url() + ", " + version + user + secured;
  }

  private static String http(HttpConfig http) {
    return http.enabled() ? "http://" + http.host() + ":" + http.port() : "off";
  }

  private static String commands(AgentConfig config) {
    CommandConfig commands = config.commands();
    boolean none = commands.trust() == CommandConfig.Trust.NONE && commands.socket().isEmpty();
    if (none && !config.cells().isEmpty()) {
      return "none over MQTT; no local socket: nobody can release a hold";
    }
    String mqtt =
        switch (commands.trust()) {
          case NONE -> "none over MQTT";
          case BROKER -> "over MQTT, the broker's access list tells the roles";
          case SIGNED -> "over MQTT, signed with one of " + commands.keys().size() + " keys";
        };
    return mqtt + commands.socket().map(s -> "; local socket " + s).orElse("; no local socket");
  }

  private static String gauge(AgentConfig config, Feature feature) {
    Optional<GaugeConfig> gauge =
        config.gauges().stream().filter(g -> g.id().equals(feature.gauge())).findFirst();
    String port =
        gauge
            .flatMap(g -> config.ports().stream().filter(p -> p.id().equals(g.port())).findFirst())
            .map(p -> " on " + LinkReader.name(p.link()))
            .orElse("");
    String input =
        feature
            .input()
            .or(() -> gauge.flatMap(GaugeConfig::input))
            .map(i -> ", input " + i)
            .orElse("");
    String unit =
        gauge
            .flatMap(GaugeConfig::unit)
            .map(u -> ", in " + u.symbol())
            .orElse(", unit in the frame");
    return feature.gauge() + port + input + unit;
  }

  private static String cell(AgentConfig config, Feature feature) {
    Optional<CellConfig> cell =
        config.cells().stream()
            .filter(c -> feature.cell().filter(c.id()::equals).isPresent())
            .findFirst();
    return cell.map(Understood::cell).orElse("none: no permit is withdrawn");
  }

  private static String cell(CellConfig cell) {
    List<String> paths = new ArrayList<>();
    cell.modbus().ifPresent(m -> paths.add(modbus(m)));
    cell.mqtt().ifPresent(m -> paths.add(mqtt(m, cell.modbus().isPresent())));
    String watchOnly =
        cell.watchOnlyUntil()
            .map(day -> ", watch-only until " + day + " (the permit stays)")
            .orElse("");
    return cell.id() + " over " + String.join(" and ", paths) + watchOnly;
  }

  private static String modbus(Modbus modbus) {
    String role = modbus.server() ? "Modbus TCP, listening on " : "Modbus TCP at ";
    return role
        + modbus.host()
        + ":"
        + modbus.port()
        + " (registers from "
        + modbus.base()
        + ", the cell's from "
        + modbus.cellBase()
        + ", beat "
        + Scalars.shown(modbus.beatEvery())
        + ")";
  }

  private static String mqtt(MqttBeat beat, boolean beside) {
    String every = " (beat " + Scalars.shown(beat.beatEvery()) + ")";
    if (beat.onlyPath()) {
      return "MQTT as its only path" + every;
    }
    return beside ? "MQTT to inform" + every : "MQTT to inform, nothing stops the cell" + every;
  }
}
