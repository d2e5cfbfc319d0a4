package org.borewarden.rules.engine;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Stream;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;

/**
 * A shop with one cell (cell-4) and two gauges, driven by a story's lines. What is synced and when
 * is up to the story.
 */
final class Shop {
  private static final String CELL = "cell-4";
  private static final CellReport QUIET =
      new CellReport(
          true,
          true,
          false,
          false,
          false,
          false,
          false,
          false,
          false,
          0,
          Optional.empty(),
          OptionalInt.of(1),
          Optional.empty(),
          0,
          PartContext.NONE);

  private final Deque<Event.GrantSynced> unsynced = new ArrayDeque<>();
  private final Map<String, Long> seqs = new TreeMap<>();
  private Instant now = Instant.parse("2026-05-04T08:00:00Z");
  private CellReport report = QUIET;
  private State state = State.initial();
  private long seq;
  private int boot;

  /** Takes a line and gives what was decided. */
  List<String> take(String line) {
    String[] words = line.split("\\s+", -1);
    return switch (words[0]) {
      case "wait" -> {
        now = now.plus(Duration.parse(words[1]));
        yield List.of();
      }
      case "synced" -> synced();
      case "bore-1", "bore-2" ->
          Arrays.stream(words).skip(1).flatMap(v -> step(reading(words[0], v))).toList();
      default -> step(event(words)).toList();
    };
  }

  /** The permit as the cell's outputs would show it. */
  boolean permitted() {
    return hold().permitted();
  }

  State state() {
    return state;
  }

  /** Goes on from where another shop stands. */
  void takeStateOf(Shop other) {
    state = other.state;
    seq = other.seq;
    now = other.now;
    boot = other.boot;
    report = other.report;
    seqs.clear();
    seqs.putAll(other.seqs);
    unsynced.clear();
    unsynced.addAll(other.unsynced);
  }

  private HoldView hold() {
    return state.cellView(CELL, now).orElseThrow().hold();
  }

  private List<String> synced() {
    List<String> decided = new ArrayList<>();
    while (!unsynced.isEmpty()) {
      step(unsynced.remove()).forEach(decided::add);
    }
    return decided;
  }

  private Stream<String> step(Event event) {
    now = now.plusSeconds(1);
    Stamped stamped = new Stamped(seq + 1, now, event);
    Step step = Engine.step(state, stamped);
    state = step.next();
    seq++;
    for (Decision decision : step.decisions()) {
      name(decision, ++seq);
      if (decision instanceof Decision.HoldChanged changed) {
        changed
            .grantPending()
            .ifPresent(r -> unsynced.add(new Event.GrantSynced(changed.hold().cell(), r)));
      }
    }
    return ShopWords.of(stamped, step);
  }

  /** A story calls a verdict {@code seat/3}, for part 3, and an answer by its command's id. */
  private void name(Decision decision, long at) {
    if (decision instanceof Decision.BoreJudged judged) {
      seqs.put(judged.feature().id() + "/" + judged.bore().part(), at);
    } else if (decision instanceof Decision.CommandAnswered answered) {
      seqs.putIfAbsent(answered.commandId(), at);
    }
  }

  private long seq(String name) {
    Long known = seqs.get(name);
    return known == null ? Long.parseLong(name) : known;
  }

  private Event event(String[] words) {
    return switch (words[0]) {
      case "started" -> started(words);
      case "stopped" -> {
        unsynced.clear();
        yield new Event.AgentStopped();
      }
      case "rules" -> new Event.RulesLoaded(ShopRules.of(words[1], rest(words, 2)));
      case "rules-refused" -> new Event.RulesRefused(1, "rules.yaml:3:1 features: expected a list");
      case "port" ->
          new Event.SourceChanged(
              words[1],
              List.of(words[1].equals("port-a") ? "bore-1" : "bore-2"),
              words[2].equals("open"),
              words[2]);
      case "rejected" ->
          new Event.FrameRejected(words[1], "no-match", "expected a value", 0, "x", 0);
      case "link" -> new Event.LinkChanged(CELL, words[1].equals("up"), words[1]);
      case "journal" -> new Event.JournalChanged(words[1].equals("recovered"), words[1]);
      case "beat" -> new Event.BeatChanged(words[1].equals("late"), 1500);
      case "broker" -> new Event.BrokerChanged("control", words[1].equals("back"), words[1]);
      case "clock-stepped" -> new Event.ClockStepped(Long.parseLong(words[1]));
      case "timer" -> new Event.TimerFired(words[1]);
      case "cell" -> new Event.CellReported(CELL, said(words));
      default -> new Event.CommandGiven(command(words));
    };
  }

  private Event started(String[] words) {
    boot++;
    report = QUIET;
    unsynced.clear();
    List<String> options = Arrays.asList(words);
    CellPolicy policy =
        new CellPolicy(
            CELL,
            reasons(words, "noted"),
            reasons(words, "held"),
            options.contains("linked"),
            options.contains("broker-only"),
            Duration.ofSeconds(10),
            options.contains("escalate"),
            option(words, "watch-only"),
            option(words, "hold-test").map(Duration::parse),
            option(words, "two-persons").map(Duration::parse));
    return new Event.AgentStarted(
        "0.1.0",
        boot,
        "nonce-" + boot,
        words[1].equals("clean"),
        List.of(policy),
        List.of(
            new Event.Port("port-a", List.of("bore-1")),
            new Event.Port("port-b", List.of("bore-2"), options.contains("port-b-asked"))));
  }

  private static List<Reason> reasons(String[] words, String key) {
    return option(words, key).stream()
        .flatMap(keys -> Arrays.stream(keys.split(",", -1)))
        .map(k -> Stream.of(Reason.values()).filter(r -> r.key().equals(k)).findFirst())
        .map(Optional::orElseThrow)
        .toList();
  }

  /** {@code 40.002@R} names an input, {@code 40.002!Z} a status. */
  private static Event reading(String gauge, String marked) {
    String[] parts = marked.split("[@!]", -1);
    String text = parts[0];
    Optional<String> mark = parts.length > 1 ? Optional.of(parts[1]) : Optional.empty();
    if (text.equals("beyond-all-sizes")) {
      Length far = new Length(Long.MIN_VALUE);
      return new Event.ReadingTaken(
          new Reading(gauge, far, Unit.MILLIMETRE, 3, Optional.empty(), Optional.empty()));
    }
    if (text.endsWith("um")) {
      long micrometres = Math.round(Double.parseDouble(text.substring(0, text.length() - 2)) * 1e3);
      return new Event.ReadingTaken(
          new Reading(
              gauge,
              new Length(micrometres * 1_000_000),
              Unit.MICROMETRE,
              0,
              Optional.empty(),
              Optional.empty()));
    }
    int decimals = text.length() - 1 - text.indexOf('.');
    return new Event.ReadingTaken(
        new Reading(
            gauge,
            Lengths.of(text + " mm"),
            Unit.MILLIMETRE,
            decimals,
            mark.filter(m -> marked.contains("@")),
            mark.filter(m -> marked.contains("!"))));
  }

  /** The controller's words: what the line does not name stays as it was. */
  private CellReport said(String[] words) {
    Optional<String> heard = option(words, "heard");
    report =
        new CellReport(
            true,
            true,
            Arrays.asList(words).contains("stopped"),
            false,
            false,
            false,
            false,
            false,
            false,
            heard.map(h -> Integer.parseInt(h.split("/", -1)[0])).orElse(report.heardHold()),
            heard.map(h -> kind(h.split("/", -1)[1])).or(report::heardKind),
            option(words, "starts")
                .map(s -> OptionalInt.of(Integer.parseInt(s)))
                .orElse(report.startCount()),
            option(words, "parts").map(Long::valueOf).or(report::partsFinished),
            option(words, "lag").map(Integer::valueOf).orElse(report.partsToGauge()),
            context(words));
    return report;
  }

  private static StopKind kind(String word) {
    return word.equals("N") ? StopKind.NEXT_SAFE_POINT : StopKind.END_OF_PART;
  }

  private static PartContext context(String[] words) {
    return new PartContext(
        option(words, "part")
            .map(p -> OptionalLong.of(Long.parseLong(p)))
            .orElse(OptionalLong.empty()),
        option(words, "serial"),
        option(words, "tool"),
        option(words, "spindle"),
        option(words, "fixture"),
        Optional.empty(),
        option(words, "batch"),
        option(words, "feature"));
  }

  private Command command(String[] words) {
    Optional<String> challenge =
        option(words, "challenge")
            .or(
                () ->
                    state.cellIds().isEmpty() ? Optional.empty() : Optional.of(hold().challenge()));
    Role role =
        option(words, "as").map(r -> Role.valueOf(r.toUpperCase(Locale.ROOT))).orElse(Role.SETTER);
    return new Command(
        words[1],
        role,
        option(words, "proved").orElse("topic"),
        Optional.of(option(words, "who").orElse("sam")),
        Optional.empty(),
        challenge,
        Optional.empty(),
        order(words));
  }

  private Order order(String[] words) {
    String cell = option(words, "in").orElse(CELL);
    int hold = option(words, "hold").map(Integer::valueOf).orElseGet(() -> hold().number());
    int revision =
        option(words, "revision").map(Integer::valueOf).orElseGet(() -> hold().revision());
    return switch (words[0]) {
      case "release" ->
          new Order.Release(
              cell,
              hold,
              revision,
              "insert-changed",
              option(words, "needed").orElse("yes"),
              numbers(words, "evidence"),
              option(words, "contain"),
              option(words, "trial")
                  .map(t -> OptionalInt.of(Integer.parseInt(t)))
                  .orElse(OptionalInt.empty()));
      case "bypass" ->
          new Order.Bypass(
              cell,
              hold,
              revision,
              option(words, "causes").map(c -> List.of(c.split(",", -1))).orElse(List.of()),
              Integer.parseInt(option(words, "minutes").orElse("15")),
              "urgent");
      case "end-bypass" -> new Order.EndBypass(cell);
      case "heard" -> new Order.Heard(cell, hold, kind(words[2]));
      case "cell-stopped" -> new Order.Stopped(cell);
      case "context" -> new Order.Context(cell, context(words));
      case "tool-changed" -> new Order.ToolChanged(cell, option(words, "tool"));
      case "offset" -> new Order.OffsetEntered(cell, option(words, "tool"), Lengths.of("5 um"));
      case "temperature" ->
          new Order.Temperature(
              words[2], celsius(words, "part"), celsius(words, "ring"), celsius(words, "body"));
      case "discard" ->
          new Order.Discard(words[2], option(words, "bore").map(this::seq), "chip in the bore");
      case "measure-again" -> new Order.MeasureAgain(words[2], option(words, "place"));
      case "next-part" -> new Order.NextPart(words[2]);
      case "attribute" ->
          new Order.Attribute(words[2], Order.Attribute.Found.valueOf(words[3]), words[4]);
      case "skip" -> new Order.Skip(words[2], words[3]);
      case "rework" -> new Order.Rework(words[2], option(words, "of").map(this::seq), words[3]);
      case "challenge" ->
          new Order.Challenge(words[2], Verdict.valueOf(words[3].toUpperCase(Locale.ROOT)), "M-7");
      case "first-off" -> new Order.FirstOff(cell, words[2]);
      case "correct-serial" ->
          new Order.CorrectSerial(
              words[2], option(words, "bore").map(this::seq), words[3], "wrong part scanned");
      case "concession" ->
          new Order.Concession(
              words[2],
              List.of(words[3].split(",", -1)),
              option(words, "lower").map(text -> Lengths.of(text + " mm")),
              option(words, "upper").map(text -> Lengths.of(text + " mm")),
              option(words, "until").orElseThrow(),
              "QN-118",
              "customer agreed");
      case "withdraw-concession" ->
          new Order.WithdrawConcession(words[2], words[3], "customer changed his mind");
      case "close-batch" -> new Order.CloseBatch(cell, "order complete");
      case "hand-over" -> new Order.HandOver(cell, option(words, "to"));
      case "ring-check" -> new Order.RingCheck(words[2], option(words, "ring"));
      case "mastered" -> new Order.Mastered(words[2], option(words, "ring"));
      case "gauge-disturbed" -> new Order.GaugeDisturbed(words[2], "dropped");
      case "ask" -> new Order.Ask(words[2]);
      case "step-forward" -> new Order.StepForward(words[2], words[3]);
      case "step-back" -> new Order.StepBack(words[2], words[3]);
      case "acknowledge" -> new Order.Acknowledge(words[2]);
      case "shelve" -> new Order.Shelve(words[2], Integer.parseInt(words[3]), "known");
      case "unshelve" -> new Order.Unshelve(words[2]);
      case "out-of-service" -> new Order.OutOfService(words[2], "cable broken");
      case "back-in-service" -> new Order.BackInService(words[2]);
      case "confirm" -> new Order.Confirm(cell, hold, revision, words[2]);
      case "ask-hold" -> new Order.AskHold(cell, option(words, "reason").orElse("upgrade"));
      default -> throw new IllegalArgumentException("no such line: " + String.join(" ", words));
    };
  }

  private static OptionalDouble celsius(String[] words, String key) {
    return option(words, key).stream().mapToDouble(Double::parseDouble).findFirst();
  }

  private List<Long> numbers(String[] words, String key) {
    return option(words, key)
        .map(text -> Arrays.stream(text.split(",", -1)).map(this::seq).toList())
        .orElse(List.of());
  }

  private static List<String> rest(String[] words, int from) {
    return Arrays.asList(words).subList(from, words.length);
  }

  private static Optional<String> option(String[] words, String key) {
    Function<String, String> value = word -> word.substring(key.length() + 1);
    return Arrays.stream(words).filter(w -> w.startsWith(key + "=")).map(value).findFirst();
  }
}
