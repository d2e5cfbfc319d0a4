package org.borewarden.agent.loop;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.concurrent.CountDownLatch;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalListener;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.payload.Shift;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.reading.PartContext;

/** Tells a story event by event, by a clock of its own, and writes it down as a journal on disk. */
public final class ToldJournal {
  private final String rulesText;
  private final RuleSet rules;
  private final Recorder recorder = new Recorder(Map.of());
  private final List<List<Entry>> groups = new ArrayList<>();
  private State state = State.initial();
  private Instant now;
  private long seq;
  private int commands;

  /** Starts an agent with rules, its ports open and its cell linked. */
  public ToldJournal(Instant at, String rulesText) {
    this.now = at;
    this.rulesText = rulesText;
    this.rules = Shift.read(rulesText);
    take(Shift.started(7, true));
    take(new Event.RulesLoaded(rules));
    take(Shift.port("port-a", true));
    take(Shift.port("port-b", true));
    take(new Event.LinkChanged("cell-4", true, ""));
  }

  /** Lets time pass. */
  public ToldJournal pass(Duration time) {
    now = now.plus(time);
    return this;
  }

  /** Takes an event, and what a sync of its record would let out. */
  public List<Decision> take(Event event) {
    Stamped stamped = new Stamped(seq + 1, now, event);
    Step step =
        Boundary.step(
            state,
            stamped,
            e -> {
              throw e;
            });
    Turn turn = new Turn(stamped, step, step.next().rulesRevision());
    groups.add(recorder.entries(turn));
    state = step.next();
    seq = turn.lastSeq();
    for (Decision decision : turn.decisions()) {
      if (decision instanceof Decision.HoldChanged changed && changed.grantPending().isPresent()) {
        take(new Event.GrantSynced(changed.hold().cell(), changed.grantPending().get()));
      }
    }
    return turn.decisions();
  }

  /** A bore of a part, with its serial. */
  public long bore(String gauge, String size, long part, String serial) {
    context(part, serial);
    pass(Duration.ofMinutes(4));
    long before = seq;
    List<Decision> decisions = take(Shift.bore(gauge, size));
    for (int i = 0; i < decisions.size(); i++) {
      if (decisions.get(i) instanceof Decision.BoreJudged) {
        return before + 2 + i;
      }
    }
    return 0;
  }

  private void context(long part, String serial) {
    PartContext context =
        new PartContext(
            OptionalLong.of(part),
            Optional.of(serial),
            Optional.of("7"),
            Optional.empty(),
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    order(Role.CELL, "plc-4", new Order.Context("cell-4", context));
  }

  /** A command of a person, which must be accepted. */
  public void order(Role role, String who, Order order) {
    commands++;
    Optional<String> challenge = hold().map(HoldView::challenge);
    List<Decision> decisions =
        take(
            new Event.CommandGiven(
                new Command(
                    "id-" + commands,
                    role,
                    "user:" + who,
                    Optional.of(who),
                    Optional.empty(),
                    challenge,
                    Optional.empty(),
                    order)));
    AnswerCode code =
        decisions.stream()
            .filter(Decision.CommandAnswered.class::isInstance)
            .map(decision -> ((Decision.CommandAnswered) decision).code())
            .findFirst()
            .orElseThrow();
    if (code != AnswerCode.ACCEPTED) {
      throw new IllegalStateException(order + ": " + code + ", " + decisions);
    }
  }

  /** The hold of the cell. */
  public Optional<HoldView> hold() {
    return state.cellView("cell-4", now).map(view -> view.hold());
  }

  /** The seq of the newest record. */
  public long lastSeq() {
    return seq;
  }

  /** Every record, in order. */
  public List<Entry> entries() {
    return groups.stream().flatMap(List::stream).toList();
  }

  /** Writes the journal into a data folder. */
  public void writeTo(Path data) throws Exception {
    CountDownLatch done = new CountDownLatch(1);
    long last = seq;
    try (JournalStore store =
        JournalStore.open(data, JournalConfig.DEFAULT, "0.1.0", () -> now, System::nanoTime)) {
      store.start(
          new JournalListener() {
            @Override
            public void durable(long durable) {
              if (durable == last) {
                done.countDown();
              }
            }

            @Override
            public void failed(String why) {
              throw new IllegalStateException(why);
            }

            @Override
            public void recovered() {}
          });
      store.putText("rules/" + rules.revision(), rulesText);
      groups.forEach(store::append);
      done.await();
    }
  }
}
