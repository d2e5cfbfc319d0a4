package org.borewarden.rules.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.borewarden.rules.hold.AlertState;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.hold.Phase;
import org.junit.jupiter.api.Test;

/** A cell that the config names no more, and a hold that is released. */
class RetiredCellTest {
  private static final Instant AT = Instant.parse("2026-05-04T08:00:00Z");
  private static final String CELL = "cell-4";

  private final List<Effect> effects = new ArrayList<>();
  private State state = State.initial();
  private long seq;
  private int boot;

  @Test
  void aHoldOutlastsTheTimeInWhichItsCellIsNotNamed() {
    start(CELL, "cell-5");
    take(new Event.LinkChanged(CELL, true, ""));
    ask("c1");
    assertThat(hold().phase()).isEqualTo(Phase.REQUESTED);

    start("cell-5");
    assertThat(state.cellIds()).containsExactly("cell-5");
    assertThat(state.retiredCells()).containsExactly(CELL);
    assertThat(state.cellView(CELL, AT)).isEmpty();

    start(CELL, "cell-5");
    assertThat(state.retiredCells()).isEmpty();
    assertThat(hold().number()).isEqualTo(1);
    assertThat(hold().permitted()).isFalse();
    assertThat(hold().causes()).extracting(cause -> cause.key()).containsExactly("asked");
  }

  @Test
  void whatOnlyStoodByItsLinkStandsNoMoreAsAnAlert() {
    start(CELL);
    take(new Event.LinkChanged(CELL, true, ""));
    take(new Event.LinkChanged(CELL, false, ""));
    assertThat(alert("link/" + CELL)).contains(AlertState.ACTIVE_UNACKNOWLEDGED);

    start("cell-5");

    assertThat(alert("link/" + CELL)).contains(AlertState.RETURNED_UNACKNOWLEDGED);
    start("cell-5", "cell-6");
    assertThat(state.retiredCells()).as("over further starts").containsExactly(CELL);
  }

  @Test
  void aReleaseIsCountedOnceWhenTheHoldIsGone() {
    start(CELL);
    take(new Event.LinkChanged(CELL, true, ""));
    ask("c1");
    HoldView held = hold();
    Order.Release release =
        new Order.Release(
            CELL,
            held.number(),
            held.revision(),
            "looked",
            "no",
            List.of(),
            Optional.of("scrapped"),
            OptionalInt.empty());
    command("c2", Role.SUPERVISOR, Optional.of(held.challenge()), release);
    assertThat(released()).as("before its record is synced").isEmpty();
    take(new Event.GrantSynced(CELL, held.revision()));
    command("c2", Role.SUPERVISOR, Optional.of(held.challenge()), release);

    assertThat(released())
        .containsExactly(
            new Effect.HoldReleased(
                CELL,
                1,
                List.of("asked"),
                "no",
                Optional.of("scrapped"),
                List.of(),
                "looked",
                "sam"));
  }

  private List<Effect> released() {
    return effects.stream().filter(Effect.HoldReleased.class::isInstance).toList();
  }

  private void ask(String id) {
    command(id, Role.IT, Optional.empty(), new Order.AskHold(CELL, "upgrade"));
  }

  private void command(String id, Role role, Optional<String> challenge, Order order) {
    take(
        new Event.CommandGiven(
            new Command(
                id,
                role,
                "topic",
                Optional.of("sam"),
                Optional.empty(),
                challenge,
                Optional.empty(),
                order)));
  }

  private HoldView hold() {
    return state.cellView(CELL, AT).orElseThrow().hold();
  }

  private Optional<AlertState> alert(String key) {
    return state.alerts().views().stream()
        .filter(view -> view.key().equals(key))
        .map(view -> view.state())
        .findFirst();
  }

  private void start(String... cells) {
    boot++;
    List<CellPolicy> policies =
        List.of(cells).stream()
            .map(
                cell ->
                    new CellPolicy(
                        cell,
                        List.of(),
                        List.of(),
                        true,
                        false,
                        Duration.ofSeconds(10),
                        false,
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty()))
            .toList();
    take(new Event.AgentStarted("0.1.0", boot, "nonce-" + boot, true, policies, List.of()));
    take(new Event.RulesLoaded(ShopRules.of("r1", List.of("seat"))));
  }

  private void take(Event event) {
    Step step = Engine.step(state, new Stamped(seq + 1, AT, event));
    state = step.next();
    seq += 1 + step.decisions().size();
    effects.addAll(step.effects());
  }
}
