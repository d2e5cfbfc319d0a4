package org.borewarden.agent.config;

import com.google.re2j.Pattern;
import com.google.re2j.PatternSyntaxException;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.borewarden.agent.config.PortConfig.Frame;
import org.borewarden.agent.config.PortConfig.Link;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;

/** Reads ports: a shared one, or that of a single gauge. Used by one thread. */
final class PortReader implements Reader<PortConfig> {
  /**
   * A number with point or comma, and perhaps letters for a unit, anywhere between blanks. A word
   * that is no unit is then refused as such, and not as a frame that nothing matches.
   */
  static final String USUAL_PATTERN = "\\s*(?P<value>[+-]?[0-9.,]+)\\s*(?P<unit>[A-Za-z]+)?\\s*";

  static final Frame USUAL_FRAME = new Frame(Optional.empty(), 64);
  static final int LONGEST_FRAME = 4_096;
  static final int LONGEST_TERMINATOR = 4;
  static final int LONGEST_PATTERN = 500;
  static final Duration SHORTEST_QUIET = Duration.ofSeconds(10);
  static final Duration LONGEST_QUIET = Duration.ofHours(24);

  private final Unique ids = new Unique("id");
  private final Unique links = new Unique("link");

  @Override
  public String expects() {
    return "a port";
  }

  @Override
  public Optional<PortConfig> read(Item item) {
    return Fields.open(item, AgentKeys.PORT)
        .flatMap(
            fields -> {
              Optional<String> id = fields.required("id", Scalars.id());
              id.ifPresent(value -> fields.item("id").ifPresent(i -> ids.add(value, i)));
              return port(fields, id);
            });
  }

  /** A port whose keys stand in these fields, a port's own or a gauge's. */
  Optional<PortConfig> port(Fields fields, Optional<String> id) {
    Optional<Link> link = link(fields);
    Frame frame =
        fields
            .item("frame")
            .flatMap(item -> Fields.open(item, AgentKeys.FRAME))
            .map(PortReader::frame)
            .orElse(USUAL_FRAME);
    String pattern = fields.orElse("pattern", pattern(), USUAL_PATTERN);
    boolean comma = "comma".equals(fields.orElse("decimal", Scalars.word("point", "comma"), ""));
    Optional<Duration> quiet =
        fields.optional("quiet-for", Scalars.duration(SHORTEST_QUIET, LONGEST_QUIET));
    return id.flatMap(name -> link.map(l -> new PortConfig(name, l, frame, pattern, comma, quiet)));
  }

  private Optional<Link> link(Fields fields) {
    if (fields.has("serial") == fields.has("tcp")) {
      String found = fields.has("serial") ? "both" : "nothing";
      return fields.hasUnknown() && !fields.has("serial")
          ? Optional.empty()
          : fields.self().refuse("expected serial or tcp, found " + found);
    }
    String key = fields.has("serial") ? "serial" : "tcp";
    Optional<Link> link =
        fields.has("serial")
            ? fields.optional("serial", LinkReader.serial())
            : fields.optional("tcp", LinkReader.tcp());
    link.ifPresent(l -> fields.item(key).ifPresent(i -> links.add(LinkReader.name(l), i)));
    return link;
  }

  private static Frame frame(Fields fields) {
    return new Frame(
        fields.optional("ends", ends()),
        fields.orElse("longest", Scalars.whole(1, LONGEST_FRAME), USUAL_FRAME.longest()));
  }

  /** The terminator; a backslash means that the wrong quotes keep it from being one. */
  private static Reader<String> ends() {
    return Reader.scalar(
        "1 to " + LONGEST_TERMINATOR + " ASCII characters, in double quotes, such as \"\\r\\n\"",
        text ->
            Optional.of(text)
                .filter(t -> !t.isEmpty() && t.length() <= LONGEST_TERMINATOR)
                .filter(t -> t.chars().allMatch(c -> c < 128 && c != '\\')));
  }

  private static Reader<String> pattern() {
    String expects = "a pattern in RE2 syntax with a group (?P<value>...)";
    return Reader.of(
        expects,
        item -> {
          Optional<String> text = item.text().filter(t -> t.length() <= LONGEST_PATTERN);
          if (text.isEmpty() || text.get().isEmpty()) {
            return item.expected(expects);
          }
          try {
            boolean hasValue = Pattern.compile(text.get()).namedGroups().containsKey("value");
            return hasValue ? text : item.expected(expects);
          } catch (PatternSyntaxException e) {
            return item.refuse("expected " + expects + ", found " + e.getDescription());
          }
        });
  }

  /** Whether a pattern names a group. */
  static boolean names(String pattern, String group) {
    return Pattern.compile(pattern).namedGroups().containsKey(group);
  }

  /** The keys that belong to a port and may stand at a gauge only where it has its own. */
  static List<String> portKeys() {
    return List.of("frame", "pattern", "decimal", "quiet-for");
  }
}
