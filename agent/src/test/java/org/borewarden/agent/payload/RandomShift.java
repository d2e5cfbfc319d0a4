package org.borewarden.agent.payload;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Random;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;

/**
 * Draws events as a shop might make them, from a seed: mostly readings that drift, now and then
 * whatever else may happen, commands that know the hold they are about or do not. Syncs come late,
 * in order, and some never.
 */
public final class RandomShift {
  private static final List<String> CELLS = List.of("cell-4", "cell-5");

  private final Random random;
  private final Deque<Event.GrantSynced> unsynced = new ArrayDeque<>();
  private final List<Long> seqs = new ArrayList<>();
  private Instant now = Instant.parse("2026-05-04T20:00:00Z");
  private double drift;
  private long parts;
  private boolean onRing;
  private int boot;
  private int commands;

  /** A shift drawn from a seed. */
  public RandomShift(long seed) {
    random = new Random(seed);
  }

  /** The wall time of the next event. */
  public Instant later() {
    now =
        now.plusMillis(random.nextInt(20) == 0 ? random.nextInt(1_200_000) : random.nextInt(5000));
    return now;
  }

  /** Remembers what a step decided, for commands and syncs to come. */
  public void saw(long seq, Step step) {
    for (Decision decision : step.decisions()) {
      seq++;
      onRing &= !(decision instanceof Decision.RingChecked);
      if (decision instanceof Decision.HoldChanged changed) {
        changed
            .grantPending()
            .ifPresent(r -> unsynced.add(new Event.GrantSynced(changed.hold().cell(), r)));
      } else if (decision instanceof Decision.BoreJudged
          || decision instanceof Decision.CommandAnswered) {
        seqs.add(seq);
      }
    }
  }

  /** The next event. */
  public Event next(State state) {
    if (boot == 0) {
      return start(true);
    }
    int draw = random.nextInt(100);
    if (draw < 30) {
      return reading();
    }
    if (draw < 55 && !unsynced.isEmpty()) {
      return unsynced.remove();
    }
    if (draw < 75) {
      return new Event.CommandGiven(command(state));
    }
    return draw < 85 ? cell(state) : world();
  }

  private Event start(boolean clean) {
    boot++;
    unsynced.clear();
    return Shift.started(boot, clean);
  }

  private Event reading() {
    parts++;
    drift = random.nextInt(60) == 0 ? 0 : drift + random.nextDouble() * 0.8;
    if (random.nextInt(200) == 0) {
      return Shift.reading("bore-1", new Length(Long.MIN_VALUE), Unit.MILLIMETRE, 3);
    }
    if (random.nextInt(3) == 0) {
      return sleeve();
    }
    boolean seat = random.nextInt(3) > 0;
    long micrometres =
        seat
            ? 62_015 - Math.round(drift + random.nextGaussian())
            : 40_012 + Math.round(random.nextGaussian() * 6);
    return Shift.reading(
        seat ? "bore-1" : random.nextInt(30) == 0 ? "bore-9" : "bore-2",
        new Length(micrometres * 1_000_000),
        Unit.MILLIMETRE,
        3);
  }

  /** On the ring about as large as it is; else a sleeve, which is out now and then. */
  private Event sleeve() {
    long off = onRing ? 1 : 12 + (random.nextInt(6) == 0 ? 16 : 0);
    long noise = Math.round(random.nextGaussian() * (onRing ? 0.8 : 3));
    return Shift.reading(
        "bore-3", new Length((50_000 + off + noise) * 1_000_000), Unit.MILLIMETRE, 3);
  }

  private Order measuring() {
    return switch (random.nextInt(7)) {
      case 0, 1, 2 -> {
        onRing = true;
        yield new Order.RingCheck("bore-3", Optional.empty());
      }
      case 3 -> {
        onRing = true;
        yield new Order.Mastered("bore-3", Optional.of("R50"));
      }
      case 4 ->
          random.nextInt(4) == 0
              ? new Order.GaugeDisturbed("bore-3", "dropped")
              : new Order.Discard("sleeve", Optional.empty(), "chip");
      case 5 -> new Order.MeasureAgain("sleeve", Optional.empty());
      default -> new Order.NextPart("sleeve");
    };
  }

  private Event world() {
    boolean good = random.nextInt(3) > 0;
    return switch (random.nextInt(15)) {
      case 0, 1, 2 -> Shift.port(random.nextBoolean() ? "port-a" : "port-b", good);
      case 3, 4 -> new Event.LinkChanged("cell-4", good, "");
      case 5 -> new Event.JournalChanged(good, "");
      case 6 -> new Event.BeatChanged(!good, 1200);
      case 7, 8 -> new Event.BrokerChanged("control", good, "");
      case 9 -> new Event.RulesLoaded(good ? Shift.RULES : Shift.FEWER);
      case 10 -> new Event.RulesRefused(1, "");
      case 11 ->
          new Event.TimerFired(
              switch (random.nextInt(4)) {
                case 0 -> "measure:sleeve";
                case 1 -> "ring:due:bore-3";
                default -> (good ? "ack:" : "bypass:") + anyCell();
              });
      case 12 -> new Event.FrameRejected("bore-1", "no-match", "", 0, "", random.nextInt(3));
      case 13 -> random.nextInt(4) == 0 ? start(good) : new Event.RulesLoaded(Shift.RULES);
      default -> new Event.ClockStepped(random.nextInt(5000));
    };
  }

  private String anyCell() {
    return CELLS.get(random.nextInt(CELLS.size()));
  }

  private Event cell(State state) {
    String cell = anyCell();
    HoldView hold = hold(state, cell);
    boolean hears = random.nextBoolean();
    return new Event.CellReported(
        cell,
        new CellReport(
            true,
            true,
            random.nextInt(4) == 0,
            false,
            false,
            false,
            false,
            false,
            false,
            hears ? hold.number() : random.nextInt(3),
            hears ? hold.kind() : Optional.empty(),
            OptionalInt.of(random.nextInt(20) == 0 ? 2 : 1),
            random.nextInt(30) == 0 ? Optional.empty() : Optional.of(parts),
            1,
            context()));
  }

  private PartContext context() {
    return random.nextBoolean()
        ? PartContext.NONE
        : new PartContext(
            OptionalLong.of(Math.max(0, parts - random.nextInt(4))),
            Optional.empty(),
            Optional.of("7"),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
  }

  private Command command(State state) {
    String cell = random.nextInt(40) == 0 ? "cell-9" : anyCell();
    HoldView hold = hold(state, cell.equals("cell-9") ? "cell-4" : cell);
    boolean again = random.nextInt(10) == 0;
    commands += again ? 0 : 1;
    return new Command(
        "id-" + commands,
        random.nextBoolean() ? Role.SUPERVISOR : Role.SETTER,
        "topic",
        Optional.of("sam"),
        Optional.empty(),
        random.nextInt(10) == 0 ? Optional.empty() : Optional.of(hold.challenge()),
        Optional.empty(),
        order(cell, hold));
  }

  private Order order(String cell, HoldView hold) {
    int revision = hold.revision() - (random.nextInt(8) == 0 ? 1 : 0);
    Optional<String> tool = random.nextBoolean() ? Optional.of("7") : Optional.empty();
    return switch (random.nextInt(17)) {
      case 14, 15, 16 -> measuring();
      case 0, 1, 2, 3, 4 ->
          new Order.Release(
              cell,
              hold.number(),
              revision,
              "insert-changed",
              "yes",
              evidence(),
              Optional.empty(),
              random.nextBoolean() ? OptionalInt.of(1 + random.nextInt(6)) : OptionalInt.empty());
      case 5, 6 ->
          new Order.Bypass(
              cell,
              hold.number(),
              revision,
              hold.causes().stream().map(Cause::key).toList(),
              1 + random.nextInt(20),
              "urgent");
      case 7 -> new Order.EndBypass(cell);
      case 8 -> new Order.Heard(cell, hold.number(), hold.kind().orElse(StopKind.END_OF_PART));
      case 9 -> new Order.Stopped(cell);
      case 10 -> new Order.Context(cell, context());
      case 11 ->
          random.nextBoolean()
              ? new Order.ToolChanged(cell, tool)
              : new Order.OffsetEntered(cell, tool, new Length(5_000_000));
      case 12 -> new Order.Discard("bearing-seat", Optional.empty(), "chip");
      default -> new Order.AskHold(cell, "drain");
    };
  }

  private List<Long> evidence() {
    return random.nextBoolean() || seqs.isEmpty()
        ? List.of()
        : List.of(seqs.get(seqs.size() - 1 - random.nextInt(Math.min(3, seqs.size()))));
  }

  private HoldView hold(State state, String cell) {
    return state.cellView(cell, now).orElseThrow().hold();
  }
}
