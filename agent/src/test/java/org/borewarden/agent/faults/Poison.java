package org.borewarden.agent.faults;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.mqtt.LinkSettings;
import org.borewarden.agent.mqtt.ReasonCodes;
import org.borewarden.agent.peers.TestBroker;

/** Records that a broker will never take, each kind on a line of its own, among many others. */
final class Poison implements AutoCloseable {
  /** The goal, and what a busy machine may make of it. */
  private static final Duration OTHERS_WANTED = Duration.ofSeconds(5);

  private static final Duration OTHERS_WITHIN = Duration.ofSeconds(15);

  /** Where the broker closes the connection each time, a busy machine is late more often. */
  private static final Duration CLOSED_WITHIN = Duration.ofSeconds(60);

  private static final int ROWS = 80;
  private static final int TOO_LONG = 5000;

  /** What brokers say of a record, but for rights, size and quota: MQTT 5, table 2-6. */
  private static final int[] REFUSALS = {0x80, 0x83, 0x90, 0x99};

  private final Path scratch;
  private final Random random;
  private final TestBroker broker;
  private final Map<Kind, Tally> tallies = new EnumMap<>(Kind.class);

  /** Why a record is not taken, and under which word it is counted then. */
  enum Kind {
    /** The broker's access list. */
    DENIED("no-right"),
    /** The broker's limit, which it has not announced: it says so or closes the connection. */
    TOO_LARGE("too-large", "closed"),
    /** The broker closes the connection at it. */
    CLOSED("closed"),
    /** A topic name or a payload that it says is invalid, or no reason at all. */
    INVALID("refused"),
    /** A quota that only this record exceeds, for ever. */
    QUOTA("refused"),
    /** The control: the broker closes at it twice and then takes it, so it is no poison. */
    CLOSED_TWICE;

    /** Parted by spaces. */
    private final String counted;

    Kind(String... counted) {
      this.counted = String.join(" ", counted);
    }

    private String topic() {
      return switch (this) {
        case DENIED -> "alert/denied";
        case TOO_LARGE -> "verdict/f1";
        case CLOSED, INVALID, QUOTA, CLOSED_TWICE -> "verdict/poison";
      };
    }
  }

  /** What was seen of one kind. */
  private static final class Tally {
    int rounds;
    long aside;
    long others;
    int late;
    Duration slowest = Duration.ZERO;
  }

  /** A line with its poison. */
  private static final class Dose {
    final Kind kind;
    final int code;
    final RefusingProxy proxy;
    final RecordLine line;
    final Path data;
    final int at;
    int others;
    int bad;

    Dose(Kind kind, int code, RefusingProxy proxy, RecordLine line, Path data, int at) {
      this.kind = kind;
      this.code = code;
      this.proxy = proxy;
      this.line = line;
      this.data = data;
      this.at = at;
    }

    void other(Random random) {
      line.append("verdict/f" + random.nextInt(5), 50 + random.nextInt(200));
      others++;
    }

    void poison(int rows) {
      for (int row = 0; row < rows; row++) {
        line.append(kind.topic(), kind == Kind.TOO_LARGE ? TOO_LONG : 10);
      }
      others += kind == Kind.CLOSED_TWICE ? rows : 0;
      bad += kind == Kind.CLOSED_TWICE ? 0 : rows;
    }
  }

  Poison(Path scratch, long seed) throws Exception {
    this.scratch = scratch;
    random = new Random(seed);
    Path acl = scratch.resolve("acl");
    Files.writeString(
        acl,
        "topic readwrite +/verdict/#\ntopic readwrite +/agent/#\ntopic read #\n",
        StandardCharsets.UTF_8);
    broker =
        TestBroker.mosquitto(
            "allow_anonymous true",
            "max_queued_messages 0",
            "max_topic_alias 0",
            "message_size_limit 3000",
            "acl_file " + acl);
  }

  /** One record or a few of each kind, all kinds at once. */
  void round(int round, List<Kind> kinds) throws Exception {
    List<Dose> doses = new ArrayList<>();
    try {
      for (Kind kind : kinds) {
        doses.add(
            dose(kind, kind.name().toLowerCase(Locale.ROOT) + "-" + round + "-" + doses.size()));
      }
      for (Dose dose : doses) {
        Waits.until("a connection", () -> dose.line.link().connected());
      }
      for (int row = 0; row < ROWS; row++) {
        for (Dose dose : doses) {
          if (row == dose.at) {
            dose.poison(dose.kind == Kind.DENIED ? 1 + random.nextInt(3) : 1);
          } else {
            dose.other(random);
          }
        }
        Waits.pass(1_000 + random.nextInt(6_000));
      }
      awaitPatience(doses);
      for (Dose dose : doses) {
        require(dose);
      }
    } finally {
      for (Dose dose : doses) {
        dose.line.closeAndForget();
        dose.proxy.close();
      }
    }
  }

  private Dose dose(Kind kind, String root) throws Exception {
    RefusingProxy proxy = RefusingProxy.before(broker.port());
    int code = kind == Kind.QUOTA ? ReasonCodes.QUOTA_EXCEEDED : REFUSALS[random.nextInt(4)];
    switch (kind) {
      case INVALID, QUOTA -> proxy.refuse(root + "/" + kind.topic(), code);
      case CLOSED -> proxy.closeAt(root + "/" + kind.topic(), Integer.MAX_VALUE);
      case CLOSED_TWICE -> proxy.closeAt(root + "/" + kind.topic(), 2);
      case DENIED, TOO_LARGE -> {
        // The broker's own doing.
      }
    }
    Path data = scratch.resolve(root);
    // The waits of the product, since with a broker that closes they are what others wait for.
    LinkSettings usual =
        LinkSettings.of(
            "record",
            RecordLine.broker(URI.create("mqtt://127.0.0.1:" + proxy.port()), root),
            Optional.empty());
    RecordLine line = new RecordLine(data, usual, broker.port(), root);
    return new Dose(kind, code, proxy, line, data, 20 + random.nextInt(ROWS - 40));
  }

  /** A quota counts only while the broker takes others. */
  private void awaitPatience(List<Dose> doses) throws Exception {
    for (Dose dose : doses) {
      while (dose.kind == Kind.QUOTA && dose.line.setAside() == 0) {
        for (Dose each : doses) {
          each.other(random);
        }
        Waits.most(Duration.ofMillis(500), () -> dose.line.setAside() > 0);
      }
    }
  }

  private void require(Dose dose) throws Exception {
    Waits.until("an empty outbox, " + dose.kind, dose.line::drained);
    Waits.until("the others, " + dose.kind, () -> dose.line.consumer().distinct() >= dose.others);
    Waits.until("them written down", () -> Verify.dataFolder(dose.data).aside() == dose.bad);
    assertThat(dose.line.consumer().distinct()).as("%s, others", dose.kind).isEqualTo(dose.others);
    assertThat(dose.line.setAside()).as("%s aside", dose.kind).isEqualTo(dose.bad);
    assertThat(dose.line.asideKeys())
        .as("%s counted", dose.kind)
        .hasSize(dose.bad)
        .allMatch(Set.of(dose.kind.counted.split(" ", -1))::contains);
    assertThat(Journals.aside(dose.data).values())
        .as("%s, reasons", dose.kind)
        .hasSize(dose.bad)
        .allMatch(why -> reason(dose, why));
    Tally tally = tallies.computeIfAbsent(dose.kind, kind -> new Tally());
    Duration slowest = dose.line.slowest();
    tally.rounds++;
    tally.aside += dose.bad;
    tally.others += dose.others;
    tally.late += slowest.compareTo(OTHERS_WANTED) > 0 ? 1 : 0;
    tally.slowest = slowest.compareTo(tally.slowest) > 0 ? slowest : tally.slowest;
  }

  private static boolean reason(Dose dose, String why) {
    String closed = "closed the connection at this row";
    return switch (dose.kind) {
      case DENIED -> why.contains("0x87");
      case TOO_LARGE -> why.contains("0x95") || why.contains(closed);
      case CLOSED -> why.contains(closed);
      case INVALID, QUOTA -> why.contains(String.format(Locale.ROOT, "0x%02X", dose.code));
      case CLOSED_TWICE -> false;
    };
  }

  /** Says what was seen, and that the others hardly waited. */
  void requireOthersInTime() {
    tallies.forEach(
        (kind, seen) -> {
          System.err.printf(
              "broker faults: poison: %s: %d rounds, %d set aside for their reason, %d others, the"
                  + " slowest of them took %.1f s; in %d rounds one took more than 5 s%n",
              kind, seen.rounds, seen.aside, seen.others, seen.slowest.toMillis() / 1e3, seen.late);
          boolean closes = kind == Kind.CLOSED || kind == Kind.CLOSED_TWICE;
          assertThat(seen.slowest)
              .as("%s, others", kind)
              .isLessThan(closes ? CLOSED_WITHIN : OTHERS_WITHIN);
        });
  }

  @Override
  public void close() {
    broker.close();
  }
}
