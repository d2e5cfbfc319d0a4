package org.borewarden.agent.config;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.math.BigDecimal;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.Duration;
import java.time.LocalDate;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.agent.config.BrokerConfig.Tls;
import org.borewarden.agent.config.BrokerConfig.Version;
import org.borewarden.agent.config.CellConfig.Modbus;
import org.borewarden.agent.config.CellConfig.MqttBeat;
import org.borewarden.agent.config.CellConfig.OnLoss;
import org.borewarden.agent.config.CommandConfig.Trust;
import org.borewarden.agent.config.PortConfig.Flow;
import org.borewarden.agent.config.PortConfig.Frame;
import org.borewarden.agent.config.PortConfig.Parity;
import org.borewarden.agent.config.PortConfig.Serial;
import org.borewarden.agent.config.PortConfig.Tcp;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the valid example files come to, value by value. */
class AgentValuesTest {
  @TempDir private Path folder;

  @BeforeEach
  void makeTheFilesThatExamplesName() throws IOException {
    Files.createDirectory(folder.resolve("secret"));
    for (String name :
        List.of(
            "password", "client.key", "line-4.pem", "token", "persons", "ca.pem", "client.pem")) {
      Path path = Files.writeString(folder.resolve("secret/" + name), "Hunter2\n");
      Files.setPosixFilePermissions(path, PosixFilePermissions.fromString("rw-------"));
    }
  }

  private AgentConfig good(String resource) throws IOException {
    Path file = Files.writeString(folder.resolve("agent.yaml"), Cases.resource(resource));
    Outcome<AgentConfig> outcome = AgentFile.read(file, AgentFileTest::environment);
    if (outcome instanceof Outcome.Good<AgentConfig> good) {
      return good.value();
    }
    throw new AssertionError(outcome.toString());
  }

  @Test
  void theSmallestFileHasTheSafeDefaults() throws IOException {
    Serial serial = new Serial("/dev/ttyUSB0", 9600, 8, Parity.NONE, 1, Flow.NONE, true, true);
    Modbus modbus =
        new Modbus(
            false,
            "192.168.10.20",
            502,
            1,
            0,
            100,
            Duration.ofMillis(250),
            Duration.ofMillis(400),
            Duration.ofMillis(500),
            Duration.ofSeconds(1),
            List.of());
    assertThat(good("/smallest/agent.yaml"))
        .isEqualTo(
            new AgentConfig(
                "northworks-cell-4",
                "northworks/housings/cell-4",
                folder.resolve("data"),
                folder.resolve("rules.yaml"),
                Optional.of(
                    new BrokerConfig(
                        URI.create("mqtt://127.0.0.1:1883"),
                        Version.V5,
                        "northworks-cell-4",
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty(),
                        Duration.ofSeconds(20),
                        20,
                        65_536)),
                List.of(
                    new PortConfig(
                        "bore-1",
                        serial,
                        new Frame(Optional.empty(), 64),
                        PortReader.USUAL_PATTERN,
                        false,
                        Optional.empty())),
                List.of(
                    new GaugeConfig(
                        "bore-1", "bore-1", Optional.empty(), Optional.of(Unit.MILLIMETRE))),
                List.of(
                    new CellConfig(
                        "cell-4",
                        Optional.of(modbus),
                        Optional.empty(),
                        CellReader.usualOnLoss(),
                        Duration.ofSeconds(10),
                        false,
                        Optional.empty(),
                        Duration.ofDays(31))),
                HttpConfig.DEFAULT,
                JournalConfig.DEFAULT,
                CommandConfig.DEFAULT,
                Optional.empty(),
                SiteConfig.DEFAULT,
                Optional.empty(),
                Optional.empty()));
  }

  @Test
  void aSpreadsheetHasItsFileAndItsDecimalMark() throws IOException {
    assertThat(good("/config/valid/every-key.yaml").sheet())
        .hasValueSatisfying(
            sheet -> {
              assertThat(sheet.file()).hasFileName("bores.csv");
              assertThat(sheet.comma()).isTrue();
            });
  }

  /** Middle Europe's clocks were put forward by an hour on 2026-03-29 (IANA time zone database). */
  @Test
  void aNightShiftOverTheChangeOfTheClocksIsAnHourShorter() throws IOException {
    SiteConfig site = good("/config/valid/every-key.yaml").site();
    SiteConfig.Shift night = site.shift("night").orElseThrow();
    LocalDate day = LocalDate.parse("2026-03-28");
    assertThat(night.begins(day, site.zone())).isEqualTo("2026-03-28T21:00:00Z");
    assertThat(night.ends(day, site.zone())).isEqualTo("2026-03-29T04:00:00Z");
    assertThat(site.shift("late")).isEmpty();
  }

  @Test
  void aReceiverOfMetricsHasItsAddressAndItsPace() throws IOException {
    assertThat(good("/config/valid/every-key.yaml").otlp())
        .contains(
            new OtlpConfig(
                URI.create("https://metrics.northworks.example/v1/metrics"),
                Duration.ofSeconds(30)));
  }

  @Test
  void everyConditionButTheStartHasItsDefault() {
    assertThat(CellReader.usualOnLoss())
        .containsExactlyInAnyOrderEntriesOf(
            andFirstOff(
                OnLoss.NOT_READY,
                Map.of(
                    Reason.LINK, OnLoss.NOT_READY,
                    Reason.JOURNAL, OnLoss.NOT_READY,
                    Reason.STALL, OnLoss.NOT_READY,
                    Reason.RULES_INVALID, OnLoss.NOT_READY,
                    Reason.SOURCE_LOST, OnLoss.NOT_READY,
                    Reason.GAUGE_BELIEF, OnLoss.NOT_READY,
                    Reason.MEASURE_AGAIN, OnLoss.NOT_READY,
                    Reason.OVERRUN, OnLoss.HOLD,
                    Reason.NOT_JUDGED, OnLoss.HOLD,
                    Reason.BROKER, OnLoss.NOT_READY)));
  }

  @Test
  void everyKeyOfTheBrokerReachesItsField() throws IOException {
    assertThat(good("/config/valid/every-key.yaml").broker())
        .contains(
            new BrokerConfig(
                URI.create("mqtts://broker.northworks.example:8883"),
                Version.V3_1_1,
                "cell-4-agent",
                Optional.of("cell-4"),
                Optional.of(new Secret.InFile(folder.resolve("secret/password"))),
                Optional.of(
                    new Tls(
                        Optional.of(folder.resolve("secret/ca.pem")),
                        Optional.of(folder.resolve("secret/client.pem")),
                        Optional.of(folder.resolve("secret/client.key")))),
                Duration.ofSeconds(30),
                10,
                32_768,
                Optional.of(Duration.ofDays(7))));
  }

  @Test
  void everyKeyOfPortsAndGaugesReachesItsField() throws IOException {
    AgentConfig config = good("/config/valid/every-key.yaml");
    assertThat(config.ports())
        .contains(
            new PortConfig(
                "bench",
                new Tcp("192.168.10.30", 4001, Duration.ofSeconds(1)),
                new Frame(Optional.of("\r\n"), 32),
                "(?P<input>[1-4]):(?P<value>[+-]?[0-9,]+)(?P<unit>mm|in)?",
                true,
                Optional.of(Duration.ofMinutes(30))),
            new PortConfig(
                "bore-3",
                new Serial(
                    "/dev/serial/by-id/usb-bore-3",
                    4800,
                    7,
                    Parity.EVEN,
                    2,
                    Flow.RTS_CTS,
                    false,
                    false),
                new Frame(Optional.of("\r"), 64),
                "(?P<value>[0-9.]+)",
                false,
                Optional.of(Duration.ofMinutes(10))),
            new PortConfig(
                "bore-4",
                new Tcp("192.168.10.31", 4001, Duration.ofSeconds(3)),
                new Frame(Optional.empty(), 64),
                PortReader.USUAL_PATTERN,
                false,
                Optional.empty()));
    assertThat(config.gauges())
        .contains(
            new GaugeConfig("bore-1", "bench", Optional.of("1"), Optional.empty()),
            new GaugeConfig("bore-2", "bench", Optional.of("2"), Optional.of(Unit.MICROMETRE)),
            new GaugeConfig("bore-3", "bore-3", Optional.empty(), Optional.of(Unit.INCH)),
            new GaugeConfig("bore-4", "bore-4", Optional.empty(), Optional.of(Unit.MILLIMETRE)));
  }

  @Test
  void everyKindOfLinkReachesItsField() throws IOException {
    AgentConfig config = good("/config/valid/every-key.yaml");
    assertThat(config.ports())
        .extracting(PortConfig::link)
        .contains(
            new ListenLink("192.168.10.5", 4002, List.of("192.168.10.40")),
            new MqttInLink("gateway/+/value"),
            new ModbusInLink(
                "192.168.10.50",
                1502,
                2,
                ModbusInLink.Table.INPUT,
                10,
                ModbusInLink.Type.INT32,
                ModbusInLink.Order.LOW_WORD_FIRST,
                new BigDecimal("0.0001"),
                Duration.ofMillis(100),
                OptionalInt.of(12),
                Duration.ofMillis(500)),
            new FollowLink(folder.resolve("log/readings.txt"), true),
            new StandardInputLink());
    PortConfig probes =
        config.ports().stream().filter(port -> port.id().equals("probes")).findAny().orElseThrow();
    assertThat(probes.frame())
        .isEqualTo(
            new Frame(
                Optional.of("\u0002"),
                Optional.of("\u0003"),
                OptionalInt.empty(),
                64,
                Optional.of(
                    new FrameCheck(
                        FrameCheck.Kind.CRC_16_XMODEM,
                        FrameCheck.Written.BYTES,
                        true,
                        FrameCheck.Covers.DATA_AND_END))));
    assertThat(probes.decimals()).hasValue(4);
    assertThat(probes.refuseStatus()).containsExactly("E", "H");
    assertThat(probes.lowBattery()).containsExactly("L");
    assertThat(config.ports().stream().flatMap(port -> port.asking().stream()))
        .contains(new Asking("?\r", Optional.empty(), Optional.of(Asking.Line.DSR)));
    assertThat(config.ports())
        .extracting(PortConfig::link)
        .filteredOn(ModbusInLink.class::isInstance)
        .extracting(link -> ((ModbusInLink) link).place())
        .containsExactly(
            "192.168.10.50:1502", "/dev/serial/by-id/usb-bus", "/dev/serial/by-id/usb-bus");
    assertThat(probes.asking()).contains(new Asking("R\r", Duration.ofMillis(500)));
    assertThat(config.ports().stream().flatMap(port -> port.json().stream()))
        .containsExactly(
            new JsonPaths(
                "/data/value",
                Optional.of("/data/unit"),
                Optional.of("/id"),
                Optional.of("/state")));
  }

  @Test
  void everyKeyOfACaptureReachesItsField() throws IOException {
    assertThat(good("/config/valid/every-key.yaml").gauges())
        .extracting(GaugeConfig::capture)
        .contains(
            Optional.of(
                new CaptureConfig(
                    2_000,
                    new CaptureConfig.Stable(new Length(800_000), Duration.ofMillis(300)),
                    Optional.of(
                        new CaptureConfig.Within(
                            new Length(61_900_000_000L), new Length(62_100_000_000L))),
                    Optional.of("cell-4"))),
            Optional.of(
                new CaptureConfig(
                    500,
                    new CaptureConfig.Turning(true, new Length(5_000_000), 3),
                    Optional.of(
                        new CaptureConfig.Within(
                            new Length(-200_000_000), new Length(200_000_000))),
                    Optional.empty())),
            Optional.of(
                new CaptureConfig(
                    10,
                    new CaptureConfig.Flagged(List.of("D"), Optional.of(Duration.ofMillis(200))),
                    Optional.empty(),
                    Optional.empty())));
  }

  @Test
  void everyKeyOfTheCellsReachesItsField() throws IOException {
    List<CellConfig> cells = good("/config/valid/every-key.yaml").cells();
    assertThat(cells.get(0))
        .isEqualTo(
            new CellConfig(
                "cell-4",
                Optional.of(
                    new Modbus(
                        false,
                        "192.168.10.20",
                        1502,
                        255,
                        400,
                        500,
                        Duration.ofMillis(200),
                        Duration.ofMillis(300),
                        Duration.ofSeconds(1),
                        Duration.ofMillis(1500),
                        List.of())),
                Optional.of(new MqttBeat(Duration.ofMillis(250), false)),
                andFirstOff(
                    OnLoss.HOLD,
                    Map.of(
                        Reason.LINK, OnLoss.HOLD,
                        Reason.JOURNAL, OnLoss.NOT_READY,
                        Reason.STALL, OnLoss.HOLD,
                        Reason.RULES_INVALID, OnLoss.NOT_READY,
                        Reason.SOURCE_LOST, OnLoss.NOTE,
                        Reason.GAUGE_BELIEF, OnLoss.NOTE,
                        Reason.MEASURE_AGAIN, OnLoss.NOT_READY,
                        Reason.OVERRUN, OnLoss.NOT_READY,
                        Reason.NOT_JUDGED, OnLoss.NOT_READY,
                        Reason.BROKER, OnLoss.NOTE)),
                Duration.ofSeconds(20),
                true,
                Optional.of("2026-03-31"),
                Duration.ofDays(14)));
    assertThat(cells.get(1).modbus().map(Modbus::server)).contains(true);
    assertThat(cells.get(1).modbus().map(Modbus::peers))
        .contains(List.of("192.168.10.20", "2001:db8::20"));
    assertThat(cells.get(1).mqtt()).contains(new MqttBeat(Duration.ofSeconds(1), false));
    assertThat(cells.get(2).mqtt()).contains(new MqttBeat(Duration.ofMillis(500), true));
  }

  @Test
  void everyKeyOfTheRestReachesItsField() throws IOException {
    AgentConfig config = good("/config/valid/every-key.yaml");
    assertThat(config.http()).isEqualTo(new HttpConfig(true, "127.0.0.2", 9478));
    assertThat(config.journal())
        .isEqualTo(
            new JournalConfig(
                5000, Duration.ofMillis(5), 30, 2048, JournalConfig.OutboxFull.DROP_READINGS));
    assertThat(config.commands())
        .isEqualTo(
            new CommandConfig(
                Trust.SIGNED,
                Map.of("line-4", folder.resolve("secret/line-4.pem")),
                Optional.of(folder.resolve("run/commands.sock")),
                Map.of("gauge-room", "inspector", "line-leads", "supervisor"),
                Optional.of(Duration.ofMinutes(10))));
  }

  @Test
  void theOtherChoicesReachTheirFieldsToo() throws IOException {
    AgentConfig config = good("/config/valid/small-choices.yaml");
    BrokerConfig broker = config.broker().orElseThrow();
    assertThat(broker.url()).isEqualTo(URI.create("mqtt://[::1]:1883"));
    assertThat(broker.password()).contains(new Secret.InEnvironment("MQTT_PASSWORD"));
    assertThat(config.rules()).isEqualTo(Path.of("/etc/borewarden/rules.yaml"));
    assertThat(config.data()).isEqualTo(folder.resolveSibling("data"));
    assertThat(config.http().enabled()).isFalse();
    assertThat(config.commands().trust()).isEqualTo(Trust.BROKER);
    assertThat(config.gauges().get(0).unit()).isEmpty();
  }

  @Test
  void aLengthOfTheUsualPatternTakesNumbersWithAndWithoutUnit() {
    com.google.re2j.Pattern usual = com.google.re2j.Pattern.compile(PortReader.USUAL_PATTERN);
    for (String frame : List.of("62.030", " +62.030 mm", "-0,0012in ", "62.03 foo")) {
      assertThat(usual.matches(frame)).as(frame).isTrue();
    }
    for (String frame : List.of("", "ERR", "62.030 mm 1", "6 2.030")) {
      assertThat(usual.matches(frame)).as(frame).isFalse();
    }
  }

  /** {@link Map#of} ends at ten. */
  private static Map<Reason, OnLoss> andFirstOff(OnLoss firstOff, Map<Reason, OnLoss> others) {
    Map<Reason, OnLoss> all = new EnumMap<>(others);
    all.put(Reason.FIRST_OFF, firstOff);
    return all;
  }
}
