package org.borewarden.agent.source.modbus;

import static org.assertj.core.api.Assertions.assertThat;
import static org.borewarden.agent.source.SourceBench.until;

import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.config.ModbusInLink;
import org.borewarden.agent.config.ModbusInLink.Order;
import org.borewarden.agent.config.ModbusInLink.Table;
import org.borewarden.agent.config.PortConfig;
import org.borewarden.agent.peers.GaugeColumn;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.source.SourceBench;
import org.borewarden.agent.source.SourceFeed;
import org.borewarden.rules.engine.Event.SourceChanged;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A gauge column whose registers are polled, played by pymodbus. */
@Timeout(value = 120, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class RegisterSourceTest {
  private final SourceBench bench = new SourceBench();
  @TempDir private Path folder;
  private Path line = Path.of("");
  private @Nullable Process pair;

  @Test
  void eachChangeOfTheCounterIsAReadingAndAServerThatDiesIsFoundAgain() throws Exception {
    int port;
    try (GaugeColumn column = new GaugeColumn(0)) {
      port = column.port();
      // 620 341 = 0x0009_7735, the low word first.
      column.set("4 10 30517 9");
      try (SourceFeed feed =
          feed(port, Table.INPUT, ModbusInLink.Type.INT32, 10, OptionalInt.of(12))) {
        until(bench::isConnected);
        column.set("4 10 30518 9 1");
        until(() -> bench.readings().size() == 1);
        column.set("4 10 30518 9 2");
        until(() -> bench.readings().size() == 2);
        column.close();
        until(() -> !bench.isConnected());
        try (GaugeColumn again = new GaugeColumn(port)) {
          again.set("4 10 30519 9 3");
          until(bench::isConnected);
          again.set("4 10 30520 9 4");
          until(() -> bench.readings().contains(62_034_400_000L));
        }
      }
    }
    assertThat(bench.readings()).startsWith(62_034_200_000L, 62_034_200_000L);
    assertThat(bench.taken()).allMatch(reading -> reading.decimals() == 4);
  }

  @Test
  void withoutACounterEachPollIsAReadingAndWhatTheServerRefusesIsSaid() throws Exception {
    try (GaugeColumn column = new GaugeColumn(0)) {
      column.set("3 20 620 0");
      try (SourceFeed feed =
          feed(column.port(), Table.HOLDING, ModbusInLink.Type.UINT16, 20, OptionalInt.empty())) {
        until(() -> bench.readings().size() >= 3);
      }
      SourceBench other = new SourceBench();
      try (SourceFeed feed =
          feed(
              other,
              new RegisterLinks(System::nanoTime),
              link(
                  column.port(),
                  Table.HOLDING,
                  ModbusInLink.Type.UINT16,
                  300,
                  OptionalInt.of(301)))) {
        until(() -> !other.changes().isEmpty());
      }
      assertThat(other.changes())
          .extracting(SourceChanged::detail)
          .containsOnly(
              "cannot read register 300 of 127.0.0.1:"
                  + column.port()
                  + ": the server answers exception 2");
    }
    assertThat(bench.readings()).containsOnly(62_000_000L);
  }

  /** Over Modbus RTU: pymodbus at the other end of a pair of socat. */
  @Test
  void theUnitsOfALineAreAskedInTurnAndASilentOneTakesNothingFromTheOthers() throws Exception {
    Duration within = Duration.ofSeconds(1);
    SourceBench other = new SourceBench();
    RegisterLinks links = new RegisterLinks(System::nanoTime);
    try (GaugeColumn column = onALine();
        SourceFeed two = feed(bench, links, unit(2, 10, within));
        SourceFeed three = feed(other, links, unit(3, 10, within))) {
      until(() -> bench.isConnected() && other.isConnected());
      column.set("@3 4 10 30600 9 1");
      column.set("@2 4 10 30501 9 1");
      until(() -> bench.readings().size() == 1 && other.readings().size() == 1);
      column.set("@3 mute");
      until(() -> !other.isConnected());
      for (int n = 2; n <= 5; n++) {
        int value = 30_500 + n;
        column.set("@2 4 10 " + value + " 9 " + n);
        int read = n;
        until(() -> bench.readings().size() == read);
      }
      column.set("@3 speak");
      column.set("@3 4 10 30601 9 2");
      until(other::isConnected);
      column.set("@3 4 10 30602 9 3");
      until(() -> other.readings().contains(62_042_600_000L));
    }
    assertThat(bench.readings())
        .containsExactly(
            62_032_500_000L, 62_032_600_000L, 62_032_700_000L, 62_032_800_000L, 62_032_900_000L);
    assertThat(bench.changes()).as("never in doubt").allMatch(SourceChanged::connected);
    assertThat(other.changes())
        .extracting(SourceChanged::detail)
        .contains("lost register 10 of unit 3 on " + line);
  }

  @Test
  void anAnswerThatComesLateIsNotTakenForThatToAnotherRequest() throws Exception {
    Duration within = Duration.ofMillis(600);
    SourceBench beside = new SourceBench();
    SourceBench other = new SourceBench();
    RegisterLinks links = new RegisterLinks(System::nanoTime);
    try (GaugeColumn column = onALine()) {
      column.set("@2 4 20 30700 9 1");
      try (SourceFeed first = feed(bench, links, unit(2, 10, within));
          SourceFeed second = feed(beside, links, unit(2, 20, within));
          SourceFeed third = feed(other, links, unit(3, 10, within))) {
        until(() -> bench.isConnected() && beside.isConnected() && other.isConnected());
        column.set("@2 late 0.8");
        until(() -> !bench.isConnected() || !beside.isConnected());
        until(() -> bench.isConnected() && beside.isConnected());
        column.set("@2 4 10 30500 9 5");
        column.set("@2 4 20 30701 9 6");
        column.set("@3 4 10 30600 9 7");
        until(
            () ->
                bench.readings().contains(62_032_400_000L)
                    && beside.readings().contains(62_052_500_000L)
                    && other.readings().contains(62_042_400_000L));
      }
    }
    assertThat(bench.readings()).containsOnly(62_032_400_000L);
    assertThat(beside.readings()).containsOnly(62_052_500_000L);
    assertThat(other.readings()).containsOnly(62_042_400_000L);
  }

  /** A serial line of socat, at whose other end pymodbus plays the units 2 and 3. */
  private GaugeColumn onALine() throws Exception {
    line = folder.resolve("ours");
    Path theirs = folder.resolve("theirs");
    pair =
        new ProcessBuilder(
                Peers.require("socat").toString(),
                "pty,raw,echo=0,link=" + line,
                "pty,raw,echo=0,link=" + theirs)
            .start();
    until(() -> Files.exists(line) && Files.exists(theirs));
    return new GaugeColumn(theirs.toString());
  }

  @AfterEach
  void unplug() {
    if (pair != null) {
      pair.destroyForcibly();
    }
  }

  /** An int32 at a register, and its counter two behind. */
  private ModbusInLink unit(int unit, int register, Duration answerWithin) {
    ModbusInLink tcp = link(0, Table.INPUT, ModbusInLink.Type.INT32, register, OptionalInt.empty());
    PortConfig.Serial serial =
        new PortConfig.Serial(
            line.toString(),
            19_200,
            8,
            PortConfig.Parity.NONE,
            1,
            PortConfig.Flow.NONE,
            true,
            true);
    return new ModbusInLink(
        "",
        0,
        unit,
        tcp.table(),
        register,
        tcp.type(),
        tcp.order(),
        tcp.scale(),
        tcp.every(),
        OptionalInt.of(register + 2),
        answerWithin,
        Optional.of(serial));
  }

  private SourceFeed feed(
      int port, Table table, ModbusInLink.Type type, int register, OptionalInt counter) {
    return feed(
        bench, new RegisterLinks(System::nanoTime), link(port, table, type, register, counter));
  }

  private static ModbusInLink link(
      int port, Table table, ModbusInLink.Type type, int register, OptionalInt counter) {
    return new ModbusInLink(
        "127.0.0.1",
        port,
        2,
        table,
        register,
        type,
        Order.LOW_WORD_FIRST,
        new BigDecimal("0.0001"),
        Duration.ofMillis(50),
        counter,
        Duration.ofSeconds(2));
  }

  private static SourceFeed feed(SourceBench bench, RegisterLinks links, ModbusInLink link) {
    PortConfig plain = SourceBench.port(link, Optional.empty());
    PortConfig port =
        new PortConfig(
            plain.id(), link, plain.frame(), "(?P<value>[0-9.]+)", false, Optional.empty());
    SourceFeed feed = bench.feedInMillimetres(port, links.of(link));
    feed.start();
    return feed;
  }
}
