package org.borewarden.agent.config;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.CellConfig.Modbus;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads the register path to a cell's controller. The times are those of docs/hold.md. */
final class ModbusReader {
  static final int PORT = 502;
  static final int UNIT = 1;
  static final int HIGHEST_UNIT = 255;

  /** The registers of block A and of block B, and where B begins by default. */
  static final int AGENT_REGISTERS = 20;

  static final int CELL_REGISTERS = 29;
  static final int USUAL_CELL_BASE = 100;
  static final int REGISTERS = 65_536;
  static final int MOST_PEERS = 16;

  static final Duration BEAT = Duration.ofMillis(250);
  static final Duration ANSWER = Duration.ofMillis(400);
  static final Duration CONNECT = Duration.ofMillis(500);
  static final Duration ECHO = Duration.ofSeconds(1);

  /** The bounds of the times: shorter is noise, longer makes the cell's time-out meaningless. */
  static final Duration SHORTEST = Duration.ofMillis(100);

  static final Duration LONGEST_BEAT = Duration.ofMillis(500);
  static final Duration LONGEST_ANSWER = Duration.ofSeconds(1);
  static final Duration LONGEST_CONNECT = Duration.ofSeconds(2);
  static final Duration LONGEST_ECHO = Duration.ofSeconds(3);

  private ModbusReader() {}

  static Reader<Modbus> path() {
    return Reader.of(
        "the controller's address, such as 192.168.10.20, or a mapping",
        item ->
            item.isMapping()
                ? Fields.open(item, AgentKeys.MODBUS).flatMap(ModbusReader::path)
                : Hosts.endpoint(Optional.of(PORT))
                    .read(item)
                    .map(
                        end ->
                            new Modbus(
                                false,
                                end.host(),
                                end.port(),
                                UNIT,
                                0,
                                USUAL_CELL_BASE,
                                BEAT,
                                ANSWER,
                                CONNECT,
                                ECHO,
                                List.of())));
  }

  private static Optional<Modbus> path(Fields fields) {
    Optional<String> host = host(fields);
    int port = fields.orElse("port", Hosts.port(), PORT);
    int unit = fields.orElse("unit", Scalars.whole(0, HIGHEST_UNIT), UNIT);
    int base = fields.orElse("base", Scalars.whole(0, REGISTERS - AGENT_REGISTERS), 0);
    int cellBase =
        fields.orElse("cell-base", Scalars.whole(0, REGISTERS - CELL_REGISTERS), USUAL_CELL_BASE);
    if (base < cellBase + CELL_REGISTERS && cellBase < base + AGENT_REGISTERS) {
      fields.refuse(
          "cell-base",
          "expected "
              + CELL_REGISTERS
              + " registers apart from the "
              + AGENT_REGISTERS
              + " from base "
              + base
              + " on, found "
              + cellBase);
    }
    Duration beat = duration(fields, "beat-every", SHORTEST, LONGEST_BEAT, BEAT);
    Duration answer = duration(fields, "answer-within", SHORTEST, LONGEST_ANSWER, ANSWER);
    Duration connect = duration(fields, "connect-within", SHORTEST, LONGEST_CONNECT, CONNECT);
    Duration echo = duration(fields, "echo-within", SHORTEST, LONGEST_ECHO, ECHO);
    Duration least = answer.plus(beat);
    if (echo.compareTo(least) < 0) {
      fields.refuse(
          "echo-within",
          "expected at least answer-within and beat-every together, "
              + Scalars.shown(least)
              + ", found "
              + Scalars.shown(echo));
    }
    List<String> peers = peers(fields, host);
    return host.map(
        h ->
            new Modbus(
                fields.has("listen"),
                h,
                port,
                unit,
                base,
                cellBase,
                beat,
                answer,
                connect,
                echo,
                peers));
  }

  /** Registers have no password: who may call is named, or is this machine. */
  private static List<String> peers(Fields fields, Optional<String> host) {
    boolean server = fields.has("listen");
    if (fields.has("peers") && !server) {
      fields.refuse("peers", "expected no peers where the agent calls; they say who may call it");
    }
    boolean open = server && host.filter(Hosts::isLoopback).isEmpty();
    if (open && host.isPresent() && !fields.has("peers")) {
      fields.missing("peers", "the addresses that may call " + host.get());
    }
    return fields.orElse("peers", Lists.of("addresses", 1, MOST_PEERS, Hosts.address()), List.of());
  }

  private static Optional<String> host(Fields fields) {
    if (fields.has("host") && fields.has("listen")) {
      return fields.refuse(
          "listen",
          "expected either host (the controller's address) or listen (our own), found both");
    }
    return fields.has("listen")
        ? fields.required("listen", Hosts.host())
        : fields.required("host", Hosts.host());
  }

  private static Duration duration(
      Fields fields, String key, Duration least, Duration most, Duration usual) {
    return fields.orElse(key, Scalars.duration(least, most), usual);
  }
}
