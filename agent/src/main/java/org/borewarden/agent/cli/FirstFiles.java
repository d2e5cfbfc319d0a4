package org.borewarden.agent.cli;

import java.util.Optional;

/**
 * The first pair of files for one gauge and one bore, with a word on what else there is.
 *
 * @param agent the agent's id
 * @param root the root of its topics
 * @param gauge a serial device, or host:port
 * @param unit what the gauge shows
 * @param broker the broker's address; empty for none
 * @param controller the controller's address; empty for none
 * @param part the part number
 * @param feature the bore
 * @param nominal its nominal size with its unit
 * @param upper its upper deviation with its unit
 * @param lower its lower deviation with its unit
 */
record FirstFiles(
    String agent,
    String root,
    String gauge,
    String unit,
    Optional<String> broker,
    Optional<String> controller,
    String part,
    String feature,
    String nominal,
    String upper,
    String lower) {

  String agentYaml() {
    String kind = gauge.matches("[^/]+:[0-9]+") ? "tcp" : "serial";
    StringBuilder text = new StringBuilder();
    line(
        text,
        "# Who the agent is, what it reads and whom it tells. Every key: docs/agent-config.md.");
    line(text, "# After a change: borewarden check, then start the agent anew.");
    line(text, "agent: " + word(agent));
    line(text, "# All topics lie below it.");
    line(text, "root: " + word(root));
    line(text, "rules: rules.yaml");
    line(text, "# The journal lies here: a local disk, with room for months.");
    line(text, "data: data");
    if (broker.isPresent()) {
      line(text, "# mqtts:// and broker.tls for an encrypted one.");
      line(text, "broker: " + word(broker.get()));
    } else {
      line(text, "# No broker yet:");
      line(text, "#broker: mqtt://broker.example:1883");
    }
    line(text, "gauges:");
    line(
        text,
        "  # 'borewarden listen PORT' shows what a gauge sends and prints the keys that read it.");
    line(text, "  - id: gauge-1");
    line(text, "    " + kind + ": " + word(gauge));
    line(text, "    unit: " + word(unit));
    if (controller.isPresent()) {
      line(text, "cells:");
      line(
          text,
          "  # The machine whose run permit is withdrawn; the registers: docs/cell-program.md.");
      line(text, "  - id: cell-1");
      line(text, "    modbus: " + word(controller.get()));
      line(text, "    # Until this day the permit stays, and what would have held is only said.");
      line(text, "    #watch-only-until: 2027-01-31");
    } else {
      line(text, "# No machine yet whose run permit is withdrawn:");
      line(text, "#cells:");
      line(text, "#  - {id: cell-1, modbus: 192.168.10.20}");
    }
    line(text, "# Commands on this machine: members of a group get a role (docs/commands.md).");
    line(text, "#commands:");
    line(text, "#  socket: run/commands.socket");
    line(text, "#  groups: {shop-leads: supervisor}");
    return text.toString();
  }

  String rulesYaml() {
    StringBuilder text = new StringBuilder();
    line(
        text,
        "# What is good, what is drift and what happens then. Every key: docs/rules-file.md.");
    line(text, "# Read again when it changes; a file with a fault changes nothing.");
    line(text, "part: " + word(part));
    line(text, "features:");
    line(text, "  - id: " + word(feature));
    line(text, "    gauge: gauge-1");
    line(text, "    nominal: " + word(nominal));
    line(text, "    upper: " + word(upper));
    line(text, "    lower: " + word(lower));
    line(
        text,
        "    # State the measurement's uncertainty, and a bore is only within if that is proven:");
    line(text, "    #uncertainty: {U: 3 um, k: 2}");
    line(text, "    # Tell when the bores drift, before one is out:");
    line(text, "    #watches:");
    line(text, "    #  - forecast: {hold-within: 4 parts, alert-within: 10 parts}");
    return text.toString();
  }

  private static void line(StringBuilder text, String line) {
    text.append(line).append('\n');
  }

  /** A text as YAML: as it is where it cannot be taken for anything else. */
  private static String word(String text) {
    boolean plain =
        text.matches("[A-Za-z/][A-Za-z0-9/._:+-]*( [A-Za-z]+)?|[+-]?[0-9]+(\\.[0-9]+)? [A-Za-z]+|0")
            && !text.endsWith(":");
    return plain ? text : '"' + text.replace("\\", "\\\\").replace("\"", "\\\"") + '"';
  }
}
