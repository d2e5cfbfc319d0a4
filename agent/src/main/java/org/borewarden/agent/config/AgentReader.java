package org.borewarden.agent.config;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads the head of agent.yaml and hands each room its part. Used by one thread. */
final class AgentReader {
  /** The most ports, gauges and cells of one agent. */
  static final int MOST_PORTS = 64;

  static final int MOST_GAUGES = 256;
  static final int MOST_CELLS = 32;

  /** The longest topic root, characters; a topic has 65 535 bytes at most. */
  static final int LONGEST_ROOT = 200;

  private final FilePaths paths;
  private final Secrets secrets;

  AgentReader(FilePaths paths, Secrets secrets) {
    this.paths = paths;
    this.secrets = secrets;
  }

  Optional<AgentConfig> read(Item root) {
    return Fields.open(root, AgentKeys.FILE).flatMap(this::config);
  }

  private Optional<AgentConfig> config(Fields file) {
    Optional<String> agent = file.required("agent", Scalars.id());
    Optional<String> root = file.required("root", root());
    Optional<Path> rules = file.required("rules", paths.path());
    Optional<Path> data = file.required("data", paths.path());
    Optional<BrokerConfig> broker =
        file.optional("broker", new BrokerReader(paths, secrets, agent.orElse("agent")));
    PortReader ports = new PortReader(paths);
    List<PortConfig> shared =
        file.orElse("ports", Lists.of("ports", 1, MOST_PORTS, ports), List.of());
    GaugeReader gauges = new GaugeReader(ports, shared);
    List<GaugeConfig> read =
        file.required("gauges", Lists.of("gauges", 1, MOST_GAUGES, gauges)).orElse(List.of());
    gauges.refuseIdlePorts(file);
    List<PortConfig> all = new ArrayList<>(shared);
    all.addAll(gauges.ownPorts());
    refuseTopics(file, all, root);
    List<CellConfig> cells =
        file.orElse(
            "cells",
            Lists.of("cells", 1, MOST_CELLS, new CellReader(file.has("broker"))),
            List.of());
    gauges.refuseGates(cells);
    HttpConfig http = file.orElse("http", ServiceReader.http(), HttpConfig.DEFAULT);
    JournalConfig journal = file.orElse("journal", ServiceReader.journal(), JournalConfig.DEFAULT);
    CommandConfig commands =
        file.orElse("commands", new CommandReader(paths), CommandConfig.DEFAULT);
    Optional<SheetConfig> sheet = file.optional("spreadsheet", ServiceReader.sheet(paths));
    SiteConfig site = file.orElse("site", SiteReader.site(), SiteConfig.DEFAULT);
    Optional<BoardConfig> board = file.optional("board", new BoardReader(paths));
    Optional<OtlpConfig> otlp = file.optional("otlp", ServiceReader.otlp());
    if (commands.trust() != CommandConfig.Trust.NONE && !file.has("broker")) {
      file.refuse("commands", "expected a broker where commands come over MQTT, found none");
    }
    if (!file.self().problems().none() || agent.isEmpty() || root.isEmpty()) {
      return Optional.empty();
    }
    return data.flatMap(
        folder ->
            rules.map(
                rulesFile ->
                    new AgentConfig(
                        agent.get(),
                        root.get(),
                        folder,
                        rulesFile,
                        broker,
                        all,
                        read,
                        cells,
                        http,
                        journal,
                        commands,
                        sheet,
                        site,
                        board,
                        otlp)));
  }

  /** Gauges on the broker need one, and what the agent itself publishes is no reading. */
  private static void refuseTopics(Fields file, List<PortConfig> ports, Optional<String> root) {
    for (PortConfig port : ports) {
      if (port.link() instanceof MqttInLink mqtt) {
        if (!file.has("broker")) {
          file.missing("broker", "a broker, on which port " + port.id() + " hangs");
        }
        if (root.filter(r -> reaches(mqtt.topic(), r)).isPresent()) {
          file.refuse(
              "root", "expected a root apart from the topic of port " + port.id() + ", found both");
        }
      }
    }
  }

  /** Whether a topic filter matches anything below a root. */
  private static boolean reaches(String filter, String root) {
    List<String> levels = List.of(root.split("/", -1));
    List<String> wanted = List.of(filter.split("/", -1));
    for (int i = 0; i < wanted.size(); i++) {
      if (wanted.get(i).equals("#") || i >= levels.size()) {
        return true;
      }
      if (!wanted.get(i).equals("+") && !wanted.get(i).equals(levels.get(i))) {
        return false;
      }
    }
    return false;
  }

  private static Reader<String> root() {
    return Reader.scalar(
        "a topic root such as \"northworks/housings/cell-4\", without wildcards (+ #), blanks,"
            + " empty levels or a slash at either end, not beginning with $",
        text -> Optional.of(text).filter(AgentReader::isRoot));
  }

  private static boolean isRoot(String text) {
    boolean levels = !text.isEmpty() && text.length() <= LONGEST_ROOT && !text.startsWith("$");
    boolean slashes = !text.startsWith("/") && !text.endsWith("/") && !text.contains("//");
    return levels
        && slashes
        && text.codePoints()
            .noneMatch(
                c ->
                    c == '+'
                        || c == '#'
                        || Character.isWhitespace(c)
                        || Character.isSpaceChar(c)
                        || Character.isISOControl(c));
  }
}
