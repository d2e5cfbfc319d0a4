package org.borewarden.agent.config;

import java.time.Duration;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.borewarden.agent.config.CellConfig.Modbus;
import org.borewarden.agent.config.CellConfig.MqttBeat;
import org.borewarden.agent.config.CellConfig.OnLoss;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Item;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.file.yaml.Unique;
import org.borewarden.rules.hold.Reason;

/** Reads the machine cells. Used by one thread. */
final class CellReader implements Reader<CellConfig> {
  static final Duration USUAL_ACK = Duration.ofSeconds(10);
  static final Duration SHORTEST_ACK = Duration.ofSeconds(1);
  static final Duration LONGEST_ACK = Duration.ofMinutes(10);

  /** A month, and a day to spare: common practice for a check that costs one stop; no source. */
  static final Duration USUAL_HOLD_TEST = Duration.ofDays(31);

  static final Duration SHORTEST_HOLD_TEST = Duration.ofDays(1);
  static final Duration LONGEST_HOLD_TEST = Duration.ofDays(366);

  /** The MQTT beat: slower where MQTT is the only path (docs/hold.md, time contract). */
  static final Duration USUAL_BEAT = Duration.ofMillis(250);

  static final Duration ONLY_PATH_BEAT = Duration.ofMillis(500);
  static final Duration SHORTEST_BEAT = Duration.ofMillis(100);
  static final Duration LONGEST_BEAT = Duration.ofSeconds(2);

  private final boolean hasBroker;
  private final Unique ids = new Unique("id");
  private final Unique controllers = new Unique("controller");

  CellReader(boolean hasBroker) {
    this.hasBroker = hasBroker;
  }

  @Override
  public String expects() {
    return "a cell";
  }

  @Override
  public Optional<CellConfig> read(Item item) {
    return Fields.open(item, AgentKeys.CELL).flatMap(this::cell);
  }

  private Optional<CellConfig> cell(Fields fields) {
    Optional<String> id = fields.required("id", Scalars.id());
    id.ifPresent(value -> fields.item("id").ifPresent(item -> ids.add(value, item)));
    Optional<Modbus> modbus = fields.optional("modbus", ModbusReader.path());
    modbus.ifPresent(
        m ->
            fields
                .item("modbus")
                .ifPresent(
                    i ->
                        controllers.add(
                            m.host() + ":" + m.port() + " from register " + m.base(), i)));
    Optional<MqttBeat> mqtt = fields.optional("mqtt", beat());
    refusePaths(fields, mqtt);
    Map<Reason, OnLoss> onLoss =
        fields
            .item("on-loss")
            .flatMap(i -> Fields.open(i, AgentKeys.ON_LOSS))
            .map(CellReader::onLoss)
            .orElseGet(CellReader::usualOnLoss);
    Duration ack =
        fields.orElse("ack-overdue", Scalars.duration(SHORTEST_ACK, LONGEST_ACK), USUAL_ACK);
    boolean escalate =
        "next-safe-point"
            .equals(fields.orElse("escalate", Scalars.word("never", "next-safe-point"), "never"));
    Optional<String> watchOnly = fields.optional("watch-only-until", Scalars.date());
    Duration holdTest =
        fields.orElse(
            "hold-test-every",
            Scalars.duration(SHORTEST_HOLD_TEST, LONGEST_HOLD_TEST),
            USUAL_HOLD_TEST);
    return id.map(i -> new CellConfig(i, modbus, mqtt, onLoss, ack, escalate, watchOnly, holdTest));
  }

  private void refusePaths(Fields fields, Optional<MqttBeat> mqtt) {
    if (!fields.has("modbus") && !fields.has("mqtt")) {
      fields.missing("modbus", "modbus, mqtt or both");
    }
    if (fields.has("mqtt") && !hasBroker) {
      fields.refuse("mqtt", "expected a broker where mqtt stands, found none");
    }
    if (fields.has("modbus") && mqtt.filter(MqttBeat::onlyPath).isPresent()) {
      fields.refuse("mqtt", "expected no only-path where modbus stands");
    }
  }

  private static Reader<MqttBeat> beat() {
    return Reader.of(
        "informs, only-path or a mapping",
        item -> {
          if (item.isMapping()) {
            return Fields.open(item, AgentKeys.BEAT).map(CellReader::beat);
          }
          return Scalars.word("informs", "only-path")
              .read(item)
              .map("only-path"::equals)
              .map(only -> new MqttBeat(usualBeat(only), only));
        });
  }

  private static MqttBeat beat(Fields fields) {
    boolean only = fields.orElse("only-path", Scalars.flag(), false);
    Duration every =
        fields.orElse("beat-every", Scalars.duration(SHORTEST_BEAT, LONGEST_BEAT), usualBeat(only));
    return new MqttBeat(every, only);
  }

  private static Duration usualBeat(boolean only) {
    return only ? ONLY_PATH_BEAT : USUAL_BEAT;
  }

  private static Map<Reason, OnLoss> onLoss(Fields fields) {
    Map<Reason, OnLoss> map = usualOnLoss();
    for (Reason reason : AgentKeys.CONDITIONS) {
      fields.optional(reason.key(), words(reason)).ifPresent(does -> map.put(reason, does));
    }
    return map;
  }

  /** Our own faults latch a hold (docs/hold.md, note 10); the rest withholds while it stands. */
  static Map<Reason, OnLoss> usualOnLoss() {
    Map<Reason, OnLoss> usual = new EnumMap<>(Reason.class);
    AgentKeys.CONDITIONS.forEach(reason -> usual.put(reason, OnLoss.NOT_READY));
    usual.put(Reason.OVERRUN, OnLoss.HOLD);
    usual.put(Reason.NOT_JUDGED, OnLoss.HOLD);
    return usual;
  }

  /** Without a journal or a judging thread nothing can be granted, so that a note is no choice. */
  private static Reader<OnLoss> words(Reason reason) {
    boolean needed = reason == Reason.JOURNAL || reason == Reason.STALL;
    List<OnLoss> choices =
        needed ? List.of(OnLoss.NOT_READY, OnLoss.HOLD) : Arrays.asList(OnLoss.values());
    return Scalars.word(choices, o -> o.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }
}
