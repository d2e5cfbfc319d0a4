package org.borewarden.agent.config;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Pattern;
import org.borewarden.agent.config.ModbusInLink.Order;
import org.borewarden.agent.config.ModbusInLink.Table;
import org.borewarden.agent.config.PortConfig.Link;
import org.borewarden.rules.file.yaml.Fields;
import org.borewarden.rules.file.yaml.Reader;
import org.borewarden.rules.file.yaml.Scalars;

/** Reads which registers of a Modbus server are polled for a value. */
final class ModbusInReader {
  static final int PORT = 502;
  static final int HIGHEST = 65_535;
  static final Duration SHORTEST_POLL = Duration.ofMillis(50);
  static final Duration LONGEST_POLL = Duration.ofHours(1);
  static final Duration SHORTEST_ANSWER = Duration.ofMillis(100);
  static final Duration LONGEST_ANSWER = Duration.ofSeconds(10);
  static final Duration USUAL_ANSWER = Duration.ofSeconds(1);

  /** One request, of at most 125 registers (MODBUS Application Protocol, 6.3), takes both. */
  static final int FARTHEST_COUNTER = 100;

  /**
   * The last address of a unit on a serial line; 0 asks all and nobody answers (MODBUS over Serial
   * Line, 2.2).
   */
  static final int LAST_ON_A_LINE = 247;

  private static final Pattern SCALE = Pattern.compile("(0\\.[0-9]{1,9}|[1-9][0-9]{0,5})");

  private ModbusInReader() {}

  static Optional<Link> link(Fields fields) {
    Optional<PortConfig.Serial> serial = fields.optional("serial", LinkReader.serial());
    boolean line = fields.has("serial");
    Optional<String> host = line ? Optional.of("") : fields.required("host", Hosts.host());
    for (String key : List.of("host", "port")) {
      if (line && fields.has(key)) {
        fields.refuse(key, "expected no " + key + " beside serial");
      }
    }
    int port = fields.orElse("port", Hosts.port(), PORT);
    int unit =
        fields.orElse(
            "unit",
            line ? Scalars.whole(1, LAST_ON_A_LINE) : Scalars.whole(0, ModbusReader.HIGHEST_UNIT),
            ModbusReader.UNIT);
    Table table = fields.orElse("table", word(Table.values()), Table.HOLDING);
    Optional<Integer> register = fields.required("register", Scalars.whole(0, HIGHEST));
    Optional<ModbusInLink.Type> type = fields.required("type", word(ModbusInLink.Type.values()));
    Order order = fields.orElse("order", word(Order.values()), Order.HIGH_FIRST);
    BigDecimal scale = fields.orElse("scale", scale(), BigDecimal.ONE);
    Optional<Duration> every =
        fields.required("every", Scalars.duration(SHORTEST_POLL, LONGEST_POLL));
    Optional<Integer> counter = fields.optional("counter", Scalars.whole(0, HIGHEST));
    Duration answer =
        fields.orElse(
            "answer-within", Scalars.duration(SHORTEST_ANSWER, LONGEST_ANSWER), USUAL_ANSWER);
    if (register.isPresent()
        && type.isPresent()
        && register.get() + type.get().registers() > HIGHEST + 1) {
      return fields.refuse("register", "expected all registers of the value within the 65 536");
    }
    if (register.isPresent()
        && counter.filter(c -> Math.abs(c - register.get()) > FARTHEST_COUNTER).isPresent()) {
      return fields.refuse(
          "counter", "expected a register at most " + FARTHEST_COUNTER + " from the value's");
    }
    if (host.isEmpty()
        || (line && serial.isEmpty())
        || register.isEmpty()
        || type.isEmpty()
        || every.isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(
        new ModbusInLink(
            host.get(),
            port,
            unit,
            table,
            register.get(),
            type.get(),
            order,
            scale,
            every.get(),
            counter.map(OptionalInt::of).orElse(OptionalInt.empty()),
            answer,
            serial));
  }

  private static Reader<BigDecimal> scale() {
    return Reader.scalar(
        "a decimal number such as 0.001, up to 9 decimals",
        text ->
            Optional.of(text)
                .filter(t -> SCALE.matcher(t).matches())
                .map(BigDecimal::new)
                .filter(s -> s.signum() > 0));
  }

  private static <E extends Enum<E>> Reader<E> word(E[] values) {
    return Scalars.word(
        Arrays.asList(values), e -> e.name().toLowerCase(Locale.ROOT).replace('_', '-'));
  }
}
