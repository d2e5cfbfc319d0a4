package org.borewarden.agent.config;

import java.net.URI;
import java.net.URISyntaxException;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.regex.Pattern;
import org.borewarden.agent.config.BrokerConfig.Tls;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads the broker: an address alone, or a mapping with all that it asks for. */
final class BrokerReader implements Reader<BrokerConfig> {
  /** The default and the bounds of the keep-alive; over 60 s a dead peer stays unnoticed. */
  static final Duration USUAL_KEEP_ALIVE = Duration.ofSeconds(20);

  static final Duration SHORTEST_KEEP_ALIVE = Duration.ofSeconds(5);
  static final Duration LONGEST_KEEP_ALIVE = Duration.ofSeconds(60);

  /** Publishes under way at once: more buys queueing, not speed. */
  static final int USUAL_WINDOW = 20;

  static final int MOST_WINDOW = 50;

  /** Payload sizes, bytes. */
  static final int USUAL_PAYLOAD = 64 * 1_024;

  /** The bounds of a record's expiry at the broker; an hour outlasts every wait of a connection. */
  static final Duration SHORTEST_EXPIRY = Duration.ofHours(1);

  static final Duration LONGEST_EXPIRY = Duration.ofDays(366);

  static final int SMALLEST_PAYLOAD = 1_024;
  static final int LARGEST_PAYLOAD = 1_024 * 1_024;
  static final int LONGEST_USER = 200;
  static final int PORT = 1883;
  static final int TLS_PORT = 8883;

  private static final String ADDRESS =
      "an address such as \"mqtt://127.0.0.1:1883\" or \"mqtts://broker.northworks.example:8883\"";
  private static final Pattern VARIABLE = Pattern.compile("[A-Za-z_][A-Za-z0-9_]{0,127}");

  private final FilePaths paths;
  private final Secrets secrets;
  private final String agent;

  BrokerReader(FilePaths paths, Secrets secrets, String agent) {
    this.paths = paths;
    this.secrets = secrets;
    this.agent = agent;
  }

  @Override
  public String expects() {
    return ADDRESS + ", or a mapping";
  }

  @Override
  public Optional<BrokerConfig> read(Item item) {
    if (item.isMapping()) {
      return Fields.open(item, AgentKeys.BROKER).flatMap(this::broker);
    }
    return address().read(item).map(this::plain);
  }

  private BrokerConfig plain(URI url) {
    return new BrokerConfig(
        url,
        Version.V5,
        agent,
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        USUAL_KEEP_ALIVE,
        USUAL_WINDOW,
        USUAL_PAYLOAD);
  }

  private Optional<BrokerConfig> broker(Fields fields) {
    Optional<URI> url = fields.required("url", address());
    Version version = fields.orElse("version", version(), Version.V5);
    String clientId = fields.orElse("client-id", Scalars.id(), agent);
    Optional<String> user = fields.optional("user", Scalars.text(LONGEST_USER));
    Optional<Secret> password = password(fields);
    Optional<Tls> tls =
        fields.item("tls").flatMap(i -> Fields.open(i, AgentKeys.TLS)).map(this::tls);
    if (fields.has("tls") && url.filter(u -> "mqtt".equals(u.getScheme())).isPresent()) {
      fields.refuse("tls", "expected an address with mqtts:// where tls stands, found mqtt://");
    }
    Duration keepAlive =
        fields.orElse(
            "keep-alive",
            Scalars.duration(SHORTEST_KEEP_ALIVE, LONGEST_KEEP_ALIVE),
            USUAL_KEEP_ALIVE);
    int window = fields.orElse("window", Scalars.whole(1, MOST_WINDOW), USUAL_WINDOW);
    int payload =
        fields.orElse(
            "longest-payload", Scalars.bytes(SMALLEST_PAYLOAD, LARGEST_PAYLOAD), USUAL_PAYLOAD);
    Optional<Duration> expiry =
        fields.optional("expire-after", Scalars.duration(SHORTEST_EXPIRY, LONGEST_EXPIRY));
    return url.map(
        u ->
            new BrokerConfig(
                u, version, clientId, user, password, tls, keepAlive, window, payload, expiry));
  }

  private Optional<Secret> password(Fields fields) {
    Optional<Path> file = fields.optional("password-file", paths.secret());
    Optional<String> variable = fields.item("password-env").flatMap(this::variable);
    if (fields.has("password-file") && fields.has("password-env")) {
      fields.refuse("password-env", "expected one of password-file, password-env, found both");
    }
    boolean given = fields.has("password-file") || fields.has("password-env");
    if (given && !fields.has("user")) {
      fields.missing("user", "a user beside the password");
    }
    return file.<Secret>map(Secret.InFile::new).or(() -> variable.map(Secret.InEnvironment::new));
  }

  /** The value is not repeated: it may be the password itself, put here by mistake. */
  private Optional<String> variable(Item item) {
    Optional<String> name = item.text().filter(text -> VARIABLE.matcher(text).matches());
    if (name.isEmpty()) {
      return item.refuse("expected the name of an environment variable (letters, digits, _)");
    }
    return secrets.isSet(name.get())
        ? name
        : item.refuse("expected the name of an environment variable that is set");
  }

  private Tls tls(Fields fields) {
    if (fields.has("certificate") != fields.has("key")) {
      String lacking = fields.has("key") ? "certificate" : "key";
      fields.missing(lacking, "certificate and key together");
    }
    return new Tls(
        fields.optional("ca", paths.readable()),
        fields.optional("certificate", paths.readable()),
        fields.optional("key", paths.secret()));
  }

  private static Reader<Version> version() {
    return Scalars.word(List.of(Version.V5, Version.V3_1_1), v -> v == Version.V5 ? "5" : "3.1.1");
  }

  /** An address with a user or password in it is refused without being repeated. */
  private static Reader<URI> address() {
    return Reader.of(
        ADDRESS,
        item -> {
          if (item.text().filter(text -> text.contains("@")).isPresent()) {
            return item.refuse(
                "a user or password may not stand in the address; name user, password-file or"
                    + " password-env");
          }
          Optional<URI> url = item.text().flatMap(BrokerReader::parsed);
          return url.isPresent() ? url : item.expected(ADDRESS);
        });
  }

  private static Optional<URI> parsed(String text) {
    try {
      URI url = new URI(text);
      String scheme = Optional.ofNullable(url.getScheme()).orElse("");
      boolean secured = "mqtts".equals(scheme);
      boolean known = secured || "mqtt".equals(scheme);
      boolean bare =
          Optional.ofNullable(url.getPath()).orElse("").isEmpty()
              && url.getQuery() == null
              && url.getFragment() == null;
      if (!known || !bare || url.getHost() == null || url.getPort() > Hosts.HIGHEST_PORT) {
        return Optional.empty();
      }
      int usual = secured ? TLS_PORT : PORT;
      int port = url.getPort() < 0 ? usual : url.getPort();
      return Optional.of(new URI(scheme, null, url.getHost(), port, null, null, null));
    } catch (URISyntaxException e) {
      return Optional.empty();
    }
  }
}
