package org.borewarden.agent.config;

import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.config.CommandConfig.Trust;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads how commands are authenticated. */
final class CommandReader implements Reader<CommandConfig> {
  static final int MOST_KEYS = 100;
  static final int MOST_GROUPS = 50;
  static final Duration SHORTEST_SECOND = Duration.ofMinutes(1);
  static final Duration LONGEST_SECOND = Duration.ofMinutes(60);

  private final FilePaths paths;

  CommandReader(FilePaths paths) {
    this.paths = paths;
  }

  @Override
  public String expects() {
    return "a mapping";
  }

  @Override
  public Optional<CommandConfig> read(Item item) {
    return Fields.open(item, AgentKeys.COMMANDS).map(this::commands);
  }

  private CommandConfig commands(Fields fields) {
    Trust trust =
        fields.orElse(
            "trust",
            Scalars.word(Arrays.asList(Trust.values()), t -> t.name().toLowerCase(Locale.ROOT)),
            Trust.NONE);
    Map<String, Path> keys =
        fields.orElse(
            "keys",
            Lists.named("key ids, each with its file", MOST_KEYS, paths.secret()),
            Map.of());
    if (trust == Trust.SIGNED && !fields.has("keys")) {
      fields.missing("keys", "keys where the trust is signed");
    }
    if (trust != Trust.SIGNED && fields.has("keys")) {
      fields.refuse("keys", "expected no keys where the trust is not signed");
    }
    Optional<Path> socket = fields.optional("socket", paths.path());
    Reader<String> role =
        Scalars.word(Arrays.stream(Role.values()).map(Role::key).toArray(String[]::new));
    Map<String, String> groups =
        fields.orElse(
            "groups", Lists.named("groups, each with its role", MOST_GROUPS, role), Map.of());
    if (fields.has("groups") && !fields.has("socket")) {
      fields.missing("socket", "a socket where groups stand");
    }
    Optional<Duration> twoPersons =
        fields.optional("two-persons", Scalars.duration(SHORTEST_SECOND, LONGEST_SECOND));
    if (fields.has("two-persons") && !fields.has("socket") && trust != Trust.SIGNED) {
      fields.refuse(
          "two-persons",
          "expected a socket or signed commands, which tell persons apart;"
              + " a broker's access list tells roles only");
    }
    return new CommandConfig(trust, keys, socket, groups, twoPersons);
  }
}
