package org.borewarden.agent.config;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.borewarden.rules.file.Sizes;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;
import org.borewarden.rules.measure.Unit;

/** Reads the gauges: each with its own port, or on a shared one. Used by one thread. */
final class GaugeReader implements Reader<GaugeConfig> {
  /** The longest input key. */
  static final int LONGEST_INPUT = 32;

  private final PortReader portReader;
  private final List<PortConfig> shared;
  private final List<PortConfig> own = new ArrayList<>();
  private final Unique ids = new Unique("id");
  private final Map<String, Unique> inputs = new HashMap<>();
  private final Set<String> used = new HashSet<>();
  private final Map<Item, String> gates = new LinkedHashMap<>();

  GaugeReader(PortReader portReader, List<PortConfig> shared) {
    this.portReader = portReader;
    this.shared = shared;
  }

  @Override
  public String expects() {
    return "a gauge";
  }

  @Override
  public Optional<GaugeConfig> read(Item item) {
    return Fields.open(item, AgentKeys.GAUGE).flatMap(this::gauge);
  }

  /** The ports of the gauges that have their own, read so far. */
  List<PortConfig> ownPorts() {
    return List.copyOf(own);
  }

  private Optional<GaugeConfig> gauge(Fields fields) {
    Optional<String> id = fields.required("id", Scalars.id());
    id.ifPresent(value -> fields.item("id").ifPresent(item -> ids.add(value, item)));
    Optional<Unit> unit = fields.optional("unit", Sizes.unit());
    Optional<String> input = fields.optional("input", Scalars.text(LONGEST_INPUT));
    Optional<PortConfig> port = fields.has("port") ? sharedPort(fields) : ownPort(fields, id);
    port.ifPresent(p -> refuseUnitless(fields, p));
    port.ifPresent(p -> refuseInput(fields, p, input));
    Optional<CaptureConfig> capture = fields.optional("capture", CaptureReader.capture());
    if (capture.isPresent() && port.isPresent()) {
      refuseCapture(fields, capture.get(), port.get());
    }
    return id.flatMap(i -> port.map(p -> new GaugeConfig(i, p.id(), input, unit, capture)));
  }

  private Optional<PortConfig> ownPort(Fields fields, Optional<String> id) {
    if (LinkReader.KEYS.stream().noneMatch(fields::has)) {
      return fields.hasUnknown()
          ? Optional.empty()
          : fields
              .self()
              .refuse(
                  "expected one of "
                      + String.join(", ", LinkReader.KEYS)
                      + ", port, found nothing");
    }
    Optional<PortConfig> port = portReader.port(fields, id);
    port.ifPresent(own::add);
    if (id.isPresent() && shared.stream().anyMatch(p -> p.id().equals(id.get()))) {
      fields.item("id").ifPresent(item -> item.expected("an id that no port of ports has"));
    }
    return port;
  }

  private Optional<PortConfig> sharedPort(Fields fields) {
    for (String key : LinkReader.KEYS) {
      if (fields.has(key)) {
        return fields.refuse(key, "expected " + key + " or port, found both");
      }
    }
    for (String key : PortReader.portKeys()) {
      if (fields.has(key)) {
        fields.refuse(key, "expected " + key + " at the port that the gauge hangs on");
      }
    }
    Optional<String> name = fields.required("port", Scalars.id());
    name.ifPresent(used::add);
    Optional<PortConfig> port =
        name.flatMap(n -> shared.stream().filter(p -> p.id().equals(n)).findFirst());
    if (name.isPresent() && port.isEmpty()) {
      String known = String.join(", ", shared.stream().map(PortConfig::id).toList());
      return fields
          .item("port")
          .flatMap(
              i -> i.expected(known.isEmpty() ? "a port of ports" : "one of the ports " + known));
    }
    return port;
  }

  /** Without a unit in the config, the pattern must have been written to find one. */
  private static void refuseUnitless(Fields fields, PortConfig port) {
    boolean usual = port.pattern().equals(PortReader.USUAL_PATTERN);
    boolean named =
        port.json().isPresent()
            ? port.json().flatMap(JsonPaths::unit).isPresent()
            : !usual && PortReader.namesFor(port.pattern(), "unit");
    if (!fields.has("unit") && !named) {
      fields.missing("unit", "a unit here or a group (?P<unit>...) in the pattern");
    }
  }

  private void refuseCapture(Fields fields, CaptureConfig capture, PortConfig port) {
    if (capture.method() instanceof CaptureConfig.Flagged && !port.tellsStatus()) {
      fields.refuse(
          "capture", "expected a group (?P<status>...) in the port's pattern to capture by");
    }
    fields
        .item("capture")
        .filter(item -> capture.gate().isPresent())
        .ifPresent(item -> gates.put(item, capture.gate().get()));
  }

  /** Only a cell that speaks over registers says whether a part is there. */
  void refuseGates(List<CellConfig> cells) {
    List<String> known =
        cells.stream().filter(cell -> cell.modbus().isPresent()).map(CellConfig::id).toList();
    gates.forEach(
        (item, gate) -> {
          if (!known.contains(gate)) {
            item.refuse(
                "expected a cell with modbus as the gate"
                    + (known.isEmpty() ? "" : " (" + String.join(", ", known) + ")")
                    + ", found "
                    + gate);
          }
        });
  }

  private void refuseInput(Fields fields, PortConfig port, Optional<String> input) {
    if (fields.has("input") && input.isPresent() && !port.tells(input.get())) {
      fields.refuse("input", "expected a group (?P<input>...) in the port's pattern, found none");
    }
    if (!fields.has("port")) {
      return;
    }
    Item item = fields.item("input").orElse(fields.self());
    inputs
        .computeIfAbsent(port.id(), id -> new Unique("input of port " + id))
        .add(input.orElse("none"), item);
  }

  /** A port that is read for nobody is a mistake, most likely in a gauge's port. */
  void refuseIdlePorts(Fields file) {
    for (int i = 0; i < shared.size(); i++) {
      if (!used.contains(shared.get(i).id()) && file.self().problems().none()) {
        file.refuse("ports", "expected a gauge on port " + shared.get(i).id() + ", found none");
      }
    }
  }
}
