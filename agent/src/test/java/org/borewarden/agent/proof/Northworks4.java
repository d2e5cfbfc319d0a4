package org.borewarden.agent.proof;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.UUID;
import java.util.concurrent.atomic.AtomicLong;
import org.borewarden.rules.engine.CellPolicy;
import org.borewarden.rules.engine.CellReport;
import org.borewarden.rules.engine.Command;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.HoldView;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;

/** An invented cell with one gauge and one bore, as events. */
final class Northworks4 {
  static final String CELL = "cell-4";
  static final String PORT = "port-1";
  static final RuleSet RULES =
      rules(
          """
          part: housing-31
          cell: cell-4
          features:
            - id: bearing-seat
              gauge: bore-1
              nominal: 62.000 mm
              upper: +0.030 mm
              lower: 0 mm
              oversize: {stop: next-safe-point}
          """);

  private static final String GAUGE = "bore-1";
  private static final AtomicLong IDS = new AtomicLong();

  private Northworks4() {}

  static RuleSet rules(String text) {
    if (RulesFile.read("rules.yaml", text) instanceof Outcome.Good<RulesResult> good) {
      return good.value().rules();
    }
    throw new IllegalArgumentException("the test's rules are refused");
  }

  static Event started(int boot, boolean clean) {
    CellPolicy policy =
        new CellPolicy(
            CELL,
            List.of(),
            List.of(),
            true,
            false,
            Duration.ofSeconds(10),
            false,
            Optional.empty(),
            Optional.empty(),
            Optional.empty());
    return new Event.AgentStarted(
        "0.1.0",
        boot,
        "nonce-" + boot,
        clean,
        List.of(policy),
        List.of(new Event.Port(PORT, List.of(GAUGE))));
  }

  static Event rulesLoaded() {
    return new Event.RulesLoaded(RULES);
  }

  static Event source(boolean connected) {
    return new Event.SourceChanged(PORT, List.of(GAUGE), connected, "");
  }

  static Event link(boolean up) {
    return new Event.LinkChanged(CELL, up, "");
  }

  static Event bore(int micrometresAboveNominal) {
    Length value = new Length(62_000_000_000L + micrometresAboveNominal * 1_000_000L);
    return new Event.ReadingTaken(
        new Reading(GAUGE, value, Unit.MILLIMETRE, 3, Optional.empty(), Optional.empty()));
  }

  /** The controller's words: what it heard, whether it stopped, its part counter. */
  static Event reported(int heard, boolean stopped, long parts) {
    return new Event.CellReported(
        CELL,
        new CellReport(
            true,
            !stopped,
            stopped,
            false,
            stopped,
            false,
            false,
            false,
            false,
            heard,
            heard == 0 ? Optional.empty() : Optional.of(StopKind.END_OF_PART),
            OptionalInt.of(1),
            Optional.of(parts),
            0,
            PartContext.NONE));
  }

  /** A release that quotes what the view shows; with parts it is a trial. */
  static Event release(HoldView hold, OptionalInt parts) {
    return command(
        Role.SUPERVISOR,
        Optional.of(hold.challenge()),
        new Order.Release(
            CELL,
            hold.number(),
            hold.revision(),
            "looked",
            "yes",
            List.of(),
            Optional.of("measured"),
            parts));
  }

  static Event bypass(HoldView hold) {
    return command(
        Role.SUPERVISOR,
        Optional.of(hold.challenge()),
        new Order.Bypass(
            CELL,
            hold.number(),
            hold.revision(),
            hold.causes().stream().map(Cause::key).toList(),
            15,
            "trial"));
  }

  static Event order(Role role, Order order) {
    return command(role, Optional.empty(), order);
  }

  static Event command(Role role, Optional<String> challenge, Order order) {
    return new Event.CommandGiven(
        new Command(
            new UUID(0x0195570a7c007000L, IDS.incrementAndGet()).toString(),
            role,
            "topic:" + role.key(),
            Optional.of("supervisor-3"),
            Optional.empty(),
            challenge,
            Optional.empty(),
            order));
  }
}
