package org.borewarden.agent.config;

import com.google.re2j.Pattern;
import com.google.re2j.PatternSyntaxException;
import java.time.Duration;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.borewarden.agent.config.PortConfig.Frame;
import org.borewarden.agent.config.PortConfig.Link;
import org.borewarden.agent.config.PortConfig.Serial;
import org.borewarden.agent.config.PortConfig.Tcp;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Lists;
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
  static final Frame LONG_FRAME = new Frame(Optional.empty(), 1_024);
  static final int MOST_DECIMALS = 9;
  static final int MOST_STATUSES = 16;
  static final int LONGEST_STATUS = 16;
  static final int LONGEST_REQUEST = 32;
  static final Duration SHORTEST_ASKING = Duration.ofMillis(200);
  static final Duration LONGEST_ASKING = Duration.ofHours(1);

  /** Begins the group of the value of one input, where a frame holds the values of several. */
  static final String VALUE_OF = "value_";

  static final int LONGEST_PATTERN = 500;
  static final Duration SHORTEST_QUIET = Duration.ofSeconds(10);
  static final Duration LONGEST_QUIET = Duration.ofHours(24);

  private final Unique ids = new Unique("id");
  private final Unique links = new Unique("link");
  private final Map<String, ModbusInLink> buses = new HashMap<>();
  private final Set<String> lines = new HashSet<>();
  private final FilePaths paths;

  PortReader(FilePaths paths) {
    this.paths = paths;
  }

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
    Frame frame = link.map(l -> frame(fields, l)).orElse(USUAL_FRAME);
    Optional<JsonPaths> json = fields.optional("json", JsonReader.paths());
    if (fields.has("json") && fields.has("pattern")) {
      fields.refuse("json", "expected a pattern or json, found both");
    }
    String pattern = fields.orElse("pattern", pattern(), USUAL_PATTERN);
    boolean comma = "comma".equals(fields.orElse("decimal", Scalars.word("point", "comma"), ""));
    Optional<Integer> decimals = fields.optional("decimals", Scalars.whole(1, MOST_DECIMALS));
    List<String> faults = statuses(fields, "refuse-status", pattern, json);
    List<String> lowBattery = statuses(fields, "low-battery", pattern, json);
    Optional<Duration> quiet =
        fields.optional("quiet-for", Scalars.duration(SHORTEST_QUIET, LONGEST_QUIET));
    Optional<Asking> asking = link.flatMap(l -> asking(fields, l));
    return id.flatMap(
        name ->
            link.map(
                l ->
                    new PortConfig(
                        name,
                        l,
                        frame,
                        pattern,
                        comma,
                        quiet,
                        asking,
                        json,
                        decimals.map(OptionalInt::of).orElse(OptionalInt.empty()),
                        faults,
                        lowBattery)));
  }

  private static List<String> statuses(
      Fields fields, String key, String pattern, Optional<JsonPaths> json) {
    List<String> all =
        fields.orElse(
            key, Lists.of("texts", 1, MOST_STATUSES, Scalars.text(LONGEST_STATUS)), List.of());
    if (!all.isEmpty() && !names(pattern, "status") && json.flatMap(JsonPaths::status).isEmpty()) {
      fields.refuse(key, "expected a group (?P<status>...) to compare it with, found none");
    }
    return all;
  }

  private Optional<Link> link(Fields fields) {
    List<String> keys = LinkReader.KEYS.stream().filter(fields::has).toList();
    if (keys.size() != 1) {
      String found = keys.isEmpty() ? "nothing" : String.join(" and ", keys);
      return keys.isEmpty() && fields.hasUnknown()
          ? Optional.empty()
          : fields
              .self()
              .refuse("expected one of " + String.join(", ", LinkReader.KEYS) + ", found " + found);
    }
    String key = keys.get(0);
    Optional<Link> link = fields.optional(key, LinkReader.of(key, paths));
    if (link.isPresent() && fields.item(key).isPresent()) {
      links.add(LinkReader.name(link.get()), fields.item(key).get());
      shared(link.get(), fields.item(key).get());
    }
    return link;
  }

  /** A serial line has one reader; that of registers asks all units on it, in one setting. */
  private void shared(Link link, Item item) {
    if (link instanceof Serial serial && buses.containsKey(serial.device())) {
      item.refuse("expected no gauge beside the registers on " + serial.device());
      return;
    }
    if (link instanceof Serial serial) {
      lines.add(serial.device());
      return;
    }
    if (!(link instanceof ModbusInLink modbus) || modbus.serial().isEmpty()) {
      return;
    }
    ModbusInLink first = buses.putIfAbsent(modbus.place(), modbus);
    if (lines.contains(modbus.place())) {
      item.refuse("expected no registers beside the gauge on " + modbus.place());
    } else if (first != null
        && !(first.serial().equals(modbus.serial())
            && first.answerWithin().equals(modbus.answerWithin()))) {
      item.refuse(
          "expected serial and answer-within as at the other registers on " + modbus.place());
    }
  }

  private static Frame frame(Fields fields, Link link) {
    boolean messages = link instanceof MqttInLink;
    Frame usual =
        messages || link instanceof FollowLink || link instanceof StandardInputLink
            ? LONG_FRAME
            : USUAL_FRAME;
    return fields
        .item("frame")
        .flatMap(item -> Fields.open(item, AgentKeys.FRAME))
        .map(frame -> FrameReader.frame(frame, usual, messages))
        .orElse(usual);
  }

  /** Only a line can be spoken on; what is asked of it stands in the words of the gauge. */
  private static Optional<Asking> asking(Fields fields, Link link) {
    boolean line = link instanceof Serial || link instanceof Tcp || link instanceof ListenLink;
    if (fields.has("ask") && !line) {
      return fields.refuse("ask", "expected ask beside serial, tcp or listen only");
    }
    return fields
        .item("ask")
        .flatMap(item -> Fields.open(item, AgentKeys.ASK))
        .flatMap(
            ask -> {
              Optional<String> send = ask.required("send", FrameReader.bytes(LONGEST_REQUEST));
              return ask.has("on")
                  ? send.flatMap(s -> askedOn(ask, link, s))
                  : ask.required("every", Scalars.duration(SHORTEST_ASKING, LONGEST_ASKING))
                      .flatMap(e -> send.map(s -> new Asking(s, e)));
            });
  }

  private static Optional<Asking> askedOn(Fields ask, Link link, String send) {
    Optional<String> on = ask.optional("on", Scalars.word("cts", "dsr", "command"));
    if (ask.has("every")) {
      return ask.refuse("every", "expected every or on, found both");
    }
    return on.flatMap(
        word ->
            word.equals("command")
                ? Optional.of(Asking.byCommand(send))
                : askedByLine(ask, link, send, Asking.Line.valueOf(word.toUpperCase(Locale.ROOT))));
  }

  /** Only a serial port of this machine has lines. */
  private static Optional<Asking> askedByLine(
      Fields ask, Link link, String send, Asking.Line line) {
    if (!(link instanceof Serial serial)) {
      return ask.refuse("on", "expected a line to ask beside serial only");
    }
    return serial.flow() == PortConfig.Flow.RTS_CTS && line == Asking.Line.CTS
        ? ask.refuse("on", "expected dsr where flow rts-cts has the line, found cts")
        : Optional.of(new Asking(send, Optional.empty(), Optional.of(line)));
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
            boolean hasValue =
                Pattern.compile(text.get()).namedGroups().keySet().stream()
                    .anyMatch(group -> group.equals("value") || group.startsWith(VALUE_OF));
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

  /** Whether a pattern names a group, for the whole frame or for one of its inputs. */
  static boolean namesFor(String pattern, String group) {
    return Pattern.compile(pattern).namedGroups().keySet().stream()
        .anyMatch(name -> name.equals(group) || name.startsWith(group + "_"));
  }

  /** The keys that belong to a port and may stand at a gauge only where it has its own. */
  static List<String> portKeys() {
    return List.of(
        "frame",
        "pattern",
        "json",
        "decimal",
        "decimals",
        "refuse-status",
        "low-battery",
        "ask",
        "quiet-for");
  }
}
