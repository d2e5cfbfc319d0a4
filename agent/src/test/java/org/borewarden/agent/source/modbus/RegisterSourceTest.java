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
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

/** A gauge column whose registers are polled, played by pymodbus. */
@Timeout(value = 120, unit = TimeUnit.SECONDS)
@SuppressWarnings("try") // Resources that only have to be closed.
class RegisterSourceTest {
  private final SourceBench bench = new SourceBench();
  @TempDir private Path folder;

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

  /** The same registers over Modbus RTU: pymodbus at the other end of a pair of socat. */
  @Test
  void overASerialLineTheSameRegistersAreReadings() throws Exception {
    Path ours = folder.resolve("ours");
    Path theirs = folder.resolve("theirs");
    Process pair =
        new ProcessBuilder(
                Peers.require("socat").toString(),
                "pty,raw,echo=0,link=" + ours,
                "pty,raw,echo=0,link=" + theirs)
            .start();
    try {
      until(() -> Files.exists(ours) && Files.exists(theirs));
      try (GaugeColumn column = new GaugeColumn(theirs.toString())) {
        column.set("4 10 30517 9");
        PortConfig.Serial line =
            new PortConfig.Serial(
                ours.toString(),
                19_200,
                8,
                PortConfig.Parity.NONE,
                1,
                PortConfig.Flow.NONE,
                true,
                true);
        try (SourceFeed feed = feed(bench, overSerial(line))) {
          until(bench::isConnected);
          column.set("4 10 30518 9 1");
          until(() -> bench.readings().size() == 1);
          column.set("4 10 30519 9 2");
          until(() -> bench.readings().size() == 2);
        }
      }
    } finally {
      pair.destroyForcibly();
    }
    assertThat(bench.readings()).containsExactly(62_034_200_000L, 62_034_300_000L);
  }

  private static ModbusInLink overSerial(PortConfig.Serial line) {
    ModbusInLink tcp = link(0, Table.INPUT, ModbusInLink.Type.INT32, 10, OptionalInt.of(12));
    return new ModbusInLink(
        "",
        0,
        tcp.unit(),
        tcp.table(),
        tcp.register(),
        tcp.type(),
        tcp.order(),
        tcp.scale(),
        tcp.every(),
        tcp.counter(),
        tcp.answerWithin(),
        Optional.of(line));
  }

  private SourceFeed feed(
      int port, Table table, ModbusInLink.Type type, int register, OptionalInt counter) {
    return feed(bench, link(port, table, type, register, counter));
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

  private static SourceFeed feed(SourceBench bench, ModbusInLink link) {
    PortConfig plain = SourceBench.port(link, Optional.empty());
    PortConfig port =
        new PortConfig(
            plain.id(), link, plain.frame(), "(?P<value>[0-9.]+)", false, Optional.empty());
    SourceFeed feed = bench.feedInMillimetres(port, new RegisterLink(link, System::nanoTime));
    feed.start();
    return feed;
  }
}
