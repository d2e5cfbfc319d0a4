package org.borewarden.agent.faults.sim;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.UUID;
import org.borewarden.agent.faults.Shop;
import org.borewarden.agent.hold.HoldOutput;
import org.borewarden.agent.hold.PermitImage;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.loop.Inbox;
import org.borewarden.agent.loop.Loop;
import org.borewarden.agent.loop.LoopTurns;
import org.borewarden.agent.loop.Outlet;
import org.borewarden.agent.loop.Replay;
import org.borewarden.agent.loop.Turn;
import org.borewarden.agent.payload.DecisionCodec;
import org.borewarden.agent.publish.Envelope;
import org.borewarden.agent.publish.Topics;
import org.borewarden.agent.publish.mqtt.WindowTurns;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.hold.HoldView;

/**
 * One life of the agent, from a start to a crash or to the end, and who watches what it lets out.
 */
final class SimLife {
  private final Tamper tamper;
  private final SimDisk disk;
  private final SimClock clock;
  private final Inbox inbox = new Inbox();
  private final Loop loop;
  private final WindowTurns window;
  private final Map<Long, String> told = new TreeMap<>();

  /** The seq of the record with a pending grant, by revision. */
  private final Map<Integer, Long> grants = new HashMap<>();

  private final Deque<PermitImage> heldBack = new ArrayDeque<>();
  private boolean permitShown;
  private boolean rose;
  private boolean failedBeforeTurn;

  SimLife(Tamper tamper, SimDisk disk, SimBroker broker, SimClock clock, int boot)
      throws JournalException {
    this.tamper = tamper;
    this.disk = disk;
    this.clock = clock;
    Replay.Replayed replayed = tampered(Replay.fold(disk, revision -> Shop.RULES));
    Loop.Parts parts =
        new Loop.Parts(
            inbox,
            disk,
            clock::now,
            clock::nanos,
            List.of(new Shown()),
            Duration.ofMillis(250),
            List.of(new Told()),
            disk.lastSeqPerTopic());
    this.loop = new Loop(parts, replayed);
    disk.listen(loop);
    Envelope envelope = new Envelope("cell-4", disk.journalId());
    this.window =
        new WindowTurns(
            broker::send, disk, envelope, new Topics("sim"), clock::nanos, SimBroker.away());
    broker.serve(window);
    boolean clean = replayed.clean() || tamper == Tamper.TAKES_CRASH_FOR_CLEAN_STOP;
    inbox.offer(Shop.started(boot, clean));
    inbox.offer(Shop.rulesLoaded());
    if (tamper == Tamper.JUDGES_TWICE && boot > 1) {
      lastReading().ifPresent(inbox::offer);
    }
  }

  private Optional<Event> lastReading() {
    int readings =
        (int) disk.stored().stream().filter(e -> e.kind().equals("reading-taken")).count();
    return readings == 0 ? Optional.empty() : Optional.of(Shop.reading(0, readings));
  }

  private Replay.Replayed tampered(Replay.Replayed from) {
    return switch (tamper) {
      case REISSUES_SEQ ->
          new Replay.Replayed(
              from.state(), Math.max(0, from.lastSeq() - 1), from.clean(), from.timers());
      case FORGETS_LATCHED_CAUSE ->
          new Replay.Replayed(
              released(from.state(), from.lastSeq()), from.lastSeq(), from.clean(), from.timers());
      case FORGETS_THE_TREND ->
          new Replay.Replayed(State.initial(), from.lastSeq(), from.clean(), from.timers());
      default -> from;
    };
  }

  /** As if somebody had released what the journal says is latched. */
  private State released(State state, long seq) {
    Optional<HoldView> hold = state.cellView(Shop.CELL, clock.now()).map(view -> view.hold());
    if (hold.isEmpty() || hold.get().causes().isEmpty()) {
      return state;
    }
    Stamped command = new Stamped(seq, clock.now(), release(hold.get(), "forged"));
    State asked = Engine.step(state, command).next();
    int revision = asked.cellView(Shop.CELL, clock.now()).orElseThrow().hold().revision();
    return Engine.step(
            asked, new Stamped(seq, clock.now(), new Event.GrantSynced(Shop.CELL, revision)))
        .next();
  }

  Inbox inbox() {
    return inbox;
  }

  void turn() throws InterruptedException {
    failedBeforeTurn = disk.failing();
    LoopTurns.turn(inbox, loop);
    if (rose) {
      throw new Violation("a permit by no event");
    }
  }

  void publish() throws JournalException {
    window.fill();
  }

  boolean begun() throws InterruptedException {
    return loop.awaitBegun(Duration.ZERO);
  }

  boolean isIdle() {
    return inbox.waiting() == 0 && loop.recorded(loop.shown());
  }

  Optional<HoldView> hold() {
    return loop.shown().state().cellView(Shop.CELL, clock.now()).map(view -> view.hold());
  }

  /** A person asks for a release of the hold as it is shown. */
  void askForRelease(int number) {
    hold()
        .filter(hold -> !hold.causes().isEmpty())
        .ifPresent(hold -> inbox.offer(release(hold, "command-" + number)));
  }

  private static Event release(HoldView hold, String id) {
    return new Event.CommandGiven(
        new Command(
            UUID.nameUUIDFromBytes(id.getBytes(java.nio.charset.StandardCharsets.UTF_8)).toString(),
            Role.SUPERVISOR,
            "topic:supervisor",
            Optional.of("supervisor-3"),
            Optional.empty(),
            Optional.of(hold.challenge()),
            Optional.empty(),
            new Order.Release(
                Shop.CELL,
                hold.number(),
                hold.revision(),
                "looked",
                "yes",
                List.of(),
                Optional.of("measured"),
                OptionalInt.empty())));
  }

  /** What was told outside as recorded: seq to body. */
  Map<Long, String> told() {
    return told;
  }

  /** The cell: believes what it is shown, and checks that it may be shown that. */
  private final class Shown implements HoldOutput {
    @Override
    public String cell() {
      return Shop.CELL;
    }

    @Override
    public void start() {}

    @Override
    public void beat(int beat, PermitImage image) {
      if (tamper == Tamper.WITHDRAWS_LATE && permitShown && !image.hold().permitted()) {
        heldBack.add(image);
        return;
      }
      shown(image);
    }

    @Override
    public void close() {}
  }

  private void shown(PermitImage image) {
    rose |= image.hold().permitted() && !permitShown;
    permitShown = image.hold().permitted();
    if (permitShown && failedBeforeTurn) {
      throw new Violation("a permit while the disk fails");
    }
  }

  /** A permit rises only with a grant whose record is on the disk. */
  private void requireGranted(Event event) {
    if (!rose) {
      return;
    }
    rose = false;
    Optional<Long> asked =
        event instanceof Event.GrantSynced granted
            ? Optional.ofNullable(grants.get(granted.revision()))
            : Optional.empty();
    if (asked.isEmpty() || asked.get() > disk.lastSeq()) {
      throw new Violation("a permit by " + event + ", asked at seq " + asked);
    }
  }

  /** Whoever is told of turns. */
  private final class Told implements Outlet {
    @Override
    public void stepped(Turn turn) {
      requireGranted(turn.event().event());
      for (int index = 0; index < turn.decisions().size(); index++) {
        if (turn.decisions().get(index) instanceof Decision.HoldChanged changed) {
          if (changed.grantPending().isPresent()) {
            int revision = changed.grantPending().get();
            grants.put(revision, turn.seqOf(index));
            if (tamper == Tamper.GRANTS_BEFORE_SYNC) {
              inbox.offer(new Event.GrantSynced(Shop.CELL, revision));
            }
          }
          if (!changed.hold().permitted() && permitShown) {
            throw new Violation("the permit stands though " + changed.hold().phase());
          }
        }
      }
    }

    @Override
    public void synced(Turn turn) {
      for (int index = 0; index < turn.decisions().size(); index++) {
        told.put(turn.seqOf(index), DecisionCodec.encode(turn.decisions().get(index)).body());
      }
      if (turn.lastSeq() > disk.lastSeq()) {
        throw new Violation("seq " + turn.lastSeq() + " told before it is synced");
      }
      heldBack.forEach(SimLife.this::shown);
      heldBack.clear();
    }
  }

  /** What was told of a life is what the disk has. */
  static void requireStored(Map<Long, String> told, List<Entry> stored) {
    List<String> wrong = new ArrayList<>();
    told.forEach(
        (seq, body) -> {
          if (seq > stored.size() || !stored.get((int) (seq - 1)).body().equals(body)) {
            wrong.add("seq " + seq);
          }
        });
    if (!wrong.isEmpty()) {
      throw new Violation("told and not stored: " + wrong);
    }
  }
}
