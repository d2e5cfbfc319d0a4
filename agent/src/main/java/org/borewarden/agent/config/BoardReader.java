package org.borewarden.agent.config;

import java.nio.file.Path;
import java.util.Optional;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads where the page for people is served; beyond this machine only with TLS and a token. */
final class BoardReader implements Reader<BoardConfig> {
  static final int PORT = 9478;
  private static final String LOOPBACK = "127.0.0.1";

  private final FilePaths paths;

  BoardReader(FilePaths paths) {
    this.paths = paths;
  }

  @Override
  public String expects() {
    return "a mapping";
  }

  @Override
  public Optional<BoardConfig> read(Item item) {
    return Fields.open(item, AgentKeys.BOARD).map(this::board);
  }

  private BoardConfig board(Fields fields) {
    String host = fields.orElse("host", Hosts.host(), LOOPBACK);
    int port = fields.orElse("port", Scalars.whole(0, Hosts.HIGHEST_PORT), PORT);
    Optional<Path> certificate = fields.optional("certificate", paths.readable());
    Optional<Path> key = fields.optional("key", paths.secret());
    Optional<Path> token = fields.optional("token", paths.secret());
    boolean hands = fields.orElse("hands", Scalars.word("off", "on"), "off").equals("on");
    Optional<Path> persons = fields.optional("persons", paths.secret());
    if (fields.has("certificate") != fields.has("key")) {
      String missing = fields.has("key") ? "certificate" : "key";
      fields.missing(missing, "certificate and key together");
    }
    if (!Hosts.isLoopback(host)) {
      needBeyondThisMachine(fields, "certificate");
      needBeyondThisMachine(fields, "token");
      if (hands) {
        needBeyondThisMachine(fields, "persons");
      }
    }
    if (fields.has("persons") && !hands) {
      fields.refuse("persons", "expected no persons where hands is off");
    }
    Optional<BoardConfig.Tls> tls =
        certificate.flatMap(chain -> key.map(secret -> new BoardConfig.Tls(chain, secret)));
    return new BoardConfig(host, port, tls, token, hands, persons);
  }

  private static void needBeyondThisMachine(Fields fields, String name) {
    if (!fields.has(name)) {
      fields.missing(name, "one where the page is served beyond this machine");
    }
  }
}
