package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.net.URI;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.function.Supplier;
import org.borewarden.agent.faults.FaultProxy.Fault;
import org.borewarden.agent.mqtt.LinkSettings;
import org.borewarden.agent.mqtt.MqttLink;
import org.borewarden.agent.peers.Cases;
import org.borewarden.agent.peers.TestBroker;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/**
 * The links of fifty agents, with the waits of the product, at one broker that is killed and comes
 * back. Takes minutes: runs only with {@code -Dborewarden.long=true}.
 */
class FiftyAgentsIT {
  private static final int AGENTS = 50;
  private static final double MOST_IN_ONE_SECOND = 0.2;
  private static final Duration ALL_BACK_WITHIN = Duration.ofMinutes(2);

  @BeforeEach
  void onlyAtLength() {
    assumeTrue(Cases.LONG, "skipped: needs -Dborewarden.long=true");
  }

  @Test
  void whenTheirBrokerComesBackTheyComeSpreadOverTheirWaits() throws Exception {
    long seed = Long.getLong("borewarden.seed", System.nanoTime());
    System.err.println("fifty agents: seed " + seed);
    Random random = new Random(seed);
    int rounds = Cases.count(0, 3);
    for (int round = 0; round < rounds; round++) {
      Duration away = Duration.ofMillis(40_000 + random.nextInt(20_000));
      List<Long> came = comeBack(away, () -> new Random(random.nextLong()));
      assertThat(fullestSecond(away, came)).isLessThanOrEqualTo(MOST_IN_ONE_SECOND);
    }
  }

  /** If agents whose waits are all alike were spread, the test above could not fail. */
  @Test
  void agentsWithoutChanceInTheirWaitsAreFoundOut() throws Exception {
    Duration away = Duration.ofSeconds(10);
    List<Long> came = comeBack(away, Longest::new);
    assertThat(fullestSecond(away, came)).isGreaterThan(MOST_IN_ONE_SECOND);
  }

  /** Always the whole of the bound. */
  private static final class Longest extends Random {
    private static final long serialVersionUID = 1L;

    @Override
    public double nextDouble() {
      return 1;
    }
  }

  /** When each connection came after the broker was back, by {@link System#nanoTime}. */
  private static List<Long> comeBack(Duration away, Supplier<Random> chance) throws Exception {
    List<MqttLink> links = new ArrayList<>();
    try (TestBroker broker = TestBroker.mosquitto("allow_anonymous true");
        FaultProxy network = FaultProxy.before(broker.port())) {
      URI agentSide = URI.create("mqtt://127.0.0.1:" + network.port());
      for (int agent = 0; agent < AGENTS; agent++) {
        LinkSettings settings =
            LinkSettings.of(
                "record", RecordLine.broker(agentSide, "agent-" + agent), Optional.empty());
        links.add(new MqttLink(settings, chance.get(), System::nanoTime));
      }
      links.forEach(MqttLink::start);
      Waits.until("all connected", () -> links.stream().allMatch(MqttLink::connected));
      network.strike(Fault.REFUSED);
      broker.kill();
      Waits.until("all lost", () -> links.stream().noneMatch(MqttLink::connected));
      Waits.pass(away.toNanos() / 1000);
      broker.restart();
      int before = network.arrivedNanos().size();
      network.strike(Fault.NONE);
      boolean back =
          Waits.most(
              ALL_BACK_WITHIN,
              Duration.ofMillis(50),
              () -> links.stream().allMatch(MqttLink::connected));
      assertThat(back).as("all connected again").isTrue();
      return network.arrivedNanos().subList(before, network.arrivedNanos().size());
    } finally {
      links.parallelStream().forEach(MqttLink::close);
    }
  }

  /** The largest share of the connections that came within one second, wherever it begins. */
  private static double fullestSecond(Duration away, List<Long> came) {
    long most = 0;
    for (long from : came) {
      long within = came.stream().filter(at -> at >= from && at - from < 1_000_000_000L).count();
      most = Math.max(most, within);
    }
    double share = (double) most / came.size();
    System.err.printf(
        "fifty agents: broker away for %.1f s, %d connects over %.1f s, %d in the fullest second:"
            + " %.0f %%%n",
        away.toMillis() / 1e3,
        came.size(),
        (came.get(came.size() - 1) - came.get(0)) / 1e9,
        most,
        share * 100);
    return share;
  }
}
