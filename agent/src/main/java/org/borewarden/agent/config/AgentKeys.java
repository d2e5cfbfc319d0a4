package org.borewarden.agent.config;

import java.util.List;
import java.util.stream.Stream;
import org.borewarden.rules.file.yaml.Keys;
import org.borewarden.rules.hold.Reason;

/** Every key of agent.yaml, by mapping. The schema and the reference page are held against it. */
final class AgentKeys {
  static final Keys FILE =
      Keys.of(
          "file",
          "agent",
          "root",
          "rules",
          "data",
          "broker",
          "ports",
          "gauges",
          "cells",
          "http",
          "journal",
          "commands",
          "spreadsheet",
          "site",
          "board",
          "otlp");
  static final Keys BROKER =
      Keys.of(
              "broker",
              "url",
              "version",
              "client-id",
              "user",
              "password-file",
              "password-env",
              "tls",
              "keep-alive",
              "window",
              "longest-payload",
              "expire-after")
          .refusing(
              "password",
              "a password may not stand in this file; name a password-file or a password-env");
  static final Keys TLS = Keys.of("tls", "ca", "certificate", "key");
  static final Keys PORT =
      Keys.of(
          "port",
          "id",
          "serial",
          "tcp",
          "listen",
          "mqtt",
          "modbus",
          "file",
          "stdin",
          "frame",
          "pattern",
          "json",
          "decimal",
          "decimals",
          "refuse-status",
          "low-battery",
          "ask",
          "quiet-for");
  static final Keys GAUGE =
      Keys.of(
          "gauge",
          "id",
          "serial",
          "tcp",
          "listen",
          "mqtt",
          "modbus",
          "file",
          "stdin",
          "port",
          "input",
          "unit",
          "capture",
          "frame",
          "pattern",
          "json",
          "decimal",
          "decimals",
          "refuse-status",
          "low-battery",
          "ask",
          "quiet-for");
  static final Keys SERIAL =
      Keys.of("serial", "device", "baud", "data-bits", "parity", "stop-bits", "flow", "dtr", "rts");
  static final Keys TCP = Keys.of("tcp", "host", "port", "connect-within");
  static final Keys LISTEN = Keys.of("listen", "host", "port", "peers");
  static final Keys MODBUS_IN =
      Keys.of(
          "modbus-in",
          "serial",
          "host",
          "port",
          "unit",
          "table",
          "register",
          "type",
          "order",
          "scale",
          "every",
          "counter",
          "answer-within");
  static final Keys FOLLOW = Keys.of("follow", "path", "from");
  static final Keys CAPTURE =
      Keys.of("capture", "by", "rate", "within", "gate", "span", "for", "depth", "turns", "status");
  static final Keys ASK = Keys.of("ask", "send", "every", "on");
  static final Keys JSON = Keys.of("json", "value", "unit", "input", "status");
  static final Keys FRAME = Keys.of("frame", "starts", "ends", "length", "longest", "check");
  static final Keys CHECK = Keys.of("check", "kind", "written", "stands", "covers");
  static final Keys CELL =
      Keys.of(
          "cell",
          "id",
          "modbus",
          "mqtt",
          "on-loss",
          "ack-overdue",
          "escalate",
          "watch-only-until",
          "hold-test-every");
  static final Keys MODBUS =
      Keys.of(
          "modbus",
          "host",
          "listen",
          "port",
          "unit",
          "base",
          "cell-base",
          "beat-every",
          "answer-within",
          "connect-within",
          "echo-within",
          "peers");
  static final Keys BEAT = Keys.of("beat", "only-path", "beat-every");

  /** The conditions that may be told what to do; a start always withholds the permit. */
  static final List<Reason> CONDITIONS =
      Stream.of(Reason.values())
          .filter(reason -> reason.ofCondition() && reason != Reason.STARTING)
          // A walk over the bits never leaves the permit there, so that it is no choice.
          .filter(reason -> reason != Reason.CELL_TEST)
          .toList();

  static final Keys ON_LOSS =
      Keys.of("on-loss", CONDITIONS.stream().map(Reason::key).toArray(String[]::new));
  static final Keys HTTP = Keys.of("http", "host", "port");
  static final Keys JOURNAL =
      Keys.of("journal", "queue-entries", "commit-every", "keep-days", "keep-size", "outbox-full");
  static final Keys OTLP = Keys.of("otlp", "url", "every");
  static final Keys SPREADSHEET = Keys.of("spreadsheet", "file", "decimal");
  static final Keys SITE = Keys.of("site", "zone", "shifts");
  static final Keys SHIFT = Keys.of("shift", "name", "from", "to");
  static final Keys BOARD =
      Keys.of("board", "host", "port", "certificate", "key", "token", "hands", "persons");
  static final Keys COMMANDS =
      Keys.of("commands", "trust", "keys", "socket", "groups", "two-persons");

  static final List<Keys> ALL =
      List.of(
          FILE,
          BROKER,
          TLS,
          PORT,
          GAUGE,
          SERIAL,
          TCP,
          LISTEN,
          MODBUS_IN,
          FOLLOW,
          CAPTURE,
          ASK,
          JSON,
          FRAME,
          CHECK,
          CELL,
          MODBUS,
          BEAT,
          ON_LOSS,
          HTTP,
          JOURNAL,
          COMMANDS,
          SPREADSHEET,
          SITE,
          SHIFT,
          BOARD,
          OTLP);

  private AgentKeys() {}
}
