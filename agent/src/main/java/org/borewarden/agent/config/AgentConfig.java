package org.borewarden.agent.config;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * What agent.yaml says, valid by construction.
 *
 * @param agent the agent's id, unique on the broker
 * @param root the topic root, without wildcards and without a slash at either end
 * @param data the folder that holds the journal; the only one that the agent writes
 * @param rules the rules file
 * @param broker the broker; empty for an agent that publishes nothing
 * @param ports the ports that gauges hang on
 * @param gauges the gauges
 * @param cells the machine cells
 * @param http where metrics and health are served
 * @param journal limits of the journal
 * @param commands how commands are authenticated
 * @param sheet the file that grows a line for each bore
 * @param site the clock and the shifts of the site
 * @param board the page for people; empty for none
 * @param otlp where metrics are sent
 */
public record AgentConfig(
    String agent,
    String root,
    Path data,
    Path rules,
    Optional<BrokerConfig> broker,
    List<PortConfig> ports,
    List<GaugeConfig> gauges,
    List<CellConfig> cells,
    HttpConfig http,
    JournalConfig journal,
    CommandConfig commands,
    Optional<SheetConfig> sheet,
    SiteConfig site,
    Optional<BoardConfig> board,
    Optional<OtlpConfig> otlp) {
  /** Copies the lists. */
  public AgentConfig {
    ports = List.copyOf(ports);
    gauges = List.copyOf(gauges);
    cells = List.copyOf(cells);
  }
}
