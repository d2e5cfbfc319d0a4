package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URI;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;
import org.borewarden.agent.faults.FaultProxy.Fault;
import org.borewarden.agent.peers.TestBroker;

/**
 * Rounds in which everything goes wrong that a network can do, all at once, each on an agent's line
 * of its own, so that their waits are one. For how long is the seed's choice.
 */
final class NetworkFaults implements AutoCloseable {
  private static final Duration RECOVERED_WITHIN = Duration.ofSeconds(30);
  private static final Duration PATIENCE = Duration.ofSeconds(90);
  private static final String LOSS = "PACKETS_LOST";
  private static final int PERCENT_LOST = 30;
  private static final int BEFORE_AND_AFTER = 30;
  private static final int UNDER_IT = 60;
  private static final int LEAST_MILLIS = 300;
  private static final int MOST_MILLIS = 3000;

  /** Each so many rounds the fault outlasts two keep-alives and the wait for a connection. */
  private static final int ROUNDS_TO_A_LONG_ONE = 8;

  private static final int LONG_MILLIS = 6000;

  /** A long run says so often how far it is. */
  private static final int ROUNDS_TO_A_WORD = 20;

  private final Path scratch;
  private final Random random;
  private final Optional<LossyNetwork> lossy;
  private final TestBroker broker;
  private final Map<String, Tally> tallies = new TreeMap<>();

  /** What was seen of one kind of fault. */
  private static final class Tally {
    int rounds;
    long bites;
    long repeats;
    long anew;
    long waiting;
    final List<Duration> recovered = new ArrayList<>();

    /** Seconds within which this share of the rounds had recovered. */
    double recovered(double share) {
      List<Duration> sorted = recovered.stream().sorted().toList();
      return sorted.get((int) (share * (sorted.size() - 1))).toMillis() / 1e3;
    }
  }

  /** A fault, where the agent meets it, and what shows that it does. */
  private record Trouble(
      String name,
      URI agentSide,
      Act strike,
      Act heal,
      Callable<Long> bites,
      Optional<FaultProxy> by) {
    /** Something that may fail. */
    private interface Act {
      void run() throws Exception;
    }

    static Trouble of(Fault fault, FaultProxy proxy) {
      return new Trouble(
          fault.name(),
          URI.create("mqtt://127.0.0.1:" + proxy.port()),
          () -> proxy.strike(fault),
          () -> proxy.strike(Fault.NONE),
          proxy::bites,
          Optional.of(proxy));
    }

    static Trouble of(LossyNetwork network) {
      return new Trouble(
          LOSS,
          network.agentSide(),
          () -> network.lose(PERCENT_LOST),
          network::heal,
          network::dropped,
          Optional.empty());
    }
  }

  /** A line under a fault. */
  private static final class Struck {
    final Trouble trouble;
    final RecordLine line;
    final long lastsMillis;
    long struckNanos;
    long healedNanos;
    long bites;
    boolean healed;
    boolean there;

    Struck(Trouble trouble, RecordLine line, long lastsMillis) {
      this.trouble = trouble;
      this.line = line;
      this.lastsMillis = lastsMillis;
    }

    /** Whether the agent has felt it: a refused connection is not seen by the proxy. */
    boolean felt() throws Exception {
      return trouble.name().equals(Fault.REFUSED.name())
          ? line.link().state().connection() > trouble.by().orElseThrow().connections()
          : trouble.bites().call() > 0;
    }

    boolean due() throws Exception {
      long lasted = TimeUnit.NANOSECONDS.toMillis(System.nanoTime() - struckNanos);
      return !healed && lasted >= lastsMillis && felt();
    }

    void heal() throws Exception {
      bites = trouble.bites().call();
      trouble.heal().run();
      healed = true;
      healedNanos = System.nanoTime();
      line.append(BEFORE_AND_AFTER);
    }

    @Override
    public String toString() {
      return trouble.name() + (healed ? there ? " there" : " healed" : " not felt");
    }
  }

  NetworkFaults(Path scratch, long seed, String... configuration) throws Exception {
    this.scratch = scratch;
    random = new Random(seed);
    lossy = LossyNetwork.open();
    List<String> lines = new ArrayList<>(List.of(configuration));
    lossy.ifPresent(network -> lines.add(network.listener()));
    broker = TestBroker.mosquitto(lines.toArray(String[]::new));
    if (lossy.isPresent()) {
      lossy.get().start();
    }
  }

  /** Strikes all at once; each record arrives all the same, in order, none is set aside. */
  void round(int round) throws Exception {
    List<FaultProxy> proxies = new ArrayList<>();
    List<Struck> all = new ArrayList<>();
    boolean outlasts = round % ROUNDS_TO_A_LONG_ONE == ROUNDS_TO_A_LONG_ONE - 1;
    try {
      for (Trouble trouble : troubles(proxies)) {
        String name = trouble.name().toLowerCase(Locale.ROOT) + "-" + round;
        RecordLine line =
            new RecordLine(scratch.resolve(name), trouble.agentSide(), broker.port(), name);
        long lasts = LEAST_MILLIS + (long) random.nextInt(MOST_MILLIS - LEAST_MILLIS);
        all.add(new Struck(trouble, line, lasts + (outlasts ? LONG_MILLIS : 0)));
      }
      strike(all);
      healAndAwait(all);
      for (Struck struck : all) {
        count(struck);
      }
      if (round % ROUNDS_TO_A_WORD == ROUNDS_TO_A_WORD - 1) {
        say();
      }
    } finally {
      for (Struck struck : all) {
        struck.line.closeAndForget();
      }
      for (FaultProxy proxy : proxies) {
        proxy.close();
      }
    }
  }

  private List<Trouble> troubles(List<FaultProxy> proxies) throws Exception {
    List<Trouble> troubles = new ArrayList<>();
    for (Fault fault : Fault.values()) {
      if (fault != Fault.NONE) {
        FaultProxy proxy = FaultProxy.before(broker.port(), random.nextLong());
        proxies.add(proxy);
        troubles.add(Trouble.of(fault, proxy));
      }
    }
    lossy.ifPresent(network -> troubles.add(Trouble.of(network)));
    return troubles;
  }

  private static void strike(List<Struck> all) throws Exception {
    for (Struck struck : all) {
      Waits.until("a connection", () -> struck.line.link().connected());
      struck.line.append(BEFORE_AND_AFTER);
    }
    for (Struck struck : all) {
      struck.trouble.strike().run();
      struck.struckNanos = System.nanoTime();
      struck.line.append(UNDER_IT);
    }
  }

  /** Heals each after its own time, not before it was felt, until all is everywhere. */
  private void healAndAwait(List<Struck> all) throws Exception {
    boolean done =
        Waits.most(
            PATIENCE,
            Duration.ofMillis(10),
            () -> {
              for (Struck struck : all) {
                if (struck.due()) {
                  struck.heal();
                } else if (!struck.there && struck.healed && struck.line.allThere()) {
                  struck.there = true;
                  long took = System.nanoTime() - struck.healedNanos;
                  tally(struck).recovered.add(Duration.ofNanos(took));
                }
              }
              return all.stream().allMatch(struck -> struck.there);
            });
    assertThat(done).as("all healed and everything there: %s", all).isTrue();
  }

  private Tally tally(Struck struck) {
    return tallies.computeIfAbsent(struck.trouble.name(), name -> new Tally());
  }

  private void count(Struck struck) throws Exception {
    Consumer consumer = struck.line.requireAll();
    Waits.until("no client object left", () -> struck.line.link().unfreed() == 0);
    Tally tally = tally(struck);
    tally.rounds++;
    tally.bites += struck.bites;
    tally.repeats += consumer.repeats();
    tally.anew += struck.line.link().state().connection() - 1;
    boolean waited =
        struck.line.slowest().compareTo(Duration.ofMillis(struck.lastsMillis).dividedBy(2)) > 0;
    tally.waiting += waited ? 1 : 0;
  }

  private void say() {
    tallies.forEach(
        (name, seen) ->
            System.err.printf(
                "broker faults: %s: %d rounds of %d records, felt %d times, records waited in %d;"
                    + " %d repeats, %d connects anew; all there %.1f s after healing (median),"
                    + " %.1f s at the latest%n",
                name,
                seen.rounds,
                2 * BEFORE_AND_AFTER + UNDER_IT,
                seen.bites,
                seen.waiting,
                seen.repeats,
                seen.anew,
                seen.recovered(0.5),
                seen.recovered(1)));
  }

  /** Says what was seen, and that each fault did what it is named for. */
  void requireEffects() {
    say();
    tallies.forEach(
        (name, seen) -> {
          assertThat(seen.recovered).as(name).hasSize(seen.rounds);
          assertThat(seen.recovered(1)).as(name).isLessThan((double) RECOVERED_WITHIN.toSeconds());
          assertThat(seen.bites).as("%s was felt", name).isGreaterThanOrEqualTo(seen.rounds);
        });
    for (Fault broken :
        Arrays.asList(
            Fault.HALF_OPEN,
            Fault.BLACK_HOLE,
            Fault.ANSWERS_LOST,
            Fault.RESETS,
            Fault.REFUSED,
            Fault.CUT_IN_PACKET)) {
      Tally seen = tally(broken);
      assertThat(seen.anew).as("%s broke connections", broken).isGreaterThanOrEqualTo(seen.rounds);
    }
    for (Fault held : Arrays.asList(Fault.STALL, Fault.SLOW, Fault.TRICKLE)) {
      Tally seen = tally(held);
      assertThat(seen.waiting).as("%s held up records", held).isEqualTo(seen.rounds);
    }
    assertThat(tally(Fault.ANSWERS_LOST).repeats).as("repeats of lost answers").isPositive();
  }

  private Tally tally(Fault fault) {
    return tallies.getOrDefault(fault.name(), new Tally());
  }

  @Override
  public void close() throws IOException {
    broker.close();
    if (lossy.isPresent()) {
      lossy.get().close();
    }
  }
}
