package org.borewarden.agent.faults;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.payload.Coded;
import org.borewarden.agent.payload.DecisionCodec;
import org.borewarden.agent.payload.EventCodec;
import org.borewarden.rules.engine.CellPolicy;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.engine.Engine;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.engine.Stamped;
import org.borewarden.rules.engine.State;
import org.borewarden.rules.engine.Step;
import org.borewarden.rules.file.RulesFile;
import org.borewarden.rules.file.RulesResult;
import org.borewarden.rules.file.yaml.Outcome;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.reading.Reading;

/**
 * Northworks' cell 4 for fault tests: one gauge, one bore with two watches, and a day of values.
 */
public final class Shop {
  public static final String CELL = "cell-4";
  public static final String GAUGE = "bore-1";
  public static final String PORT = "port-1";

  public static final String RULES_YAML =
      """
      part: housing-31
      features:
        - id: bearing-seat
          cell: cell-4
          gauge: bore-1
          nominal: 62.000 mm
          upper: +0.030 mm
          lower: 0 mm
          watches:
            - forecast: {hold-within: 4 parts, alert-within: 10 parts, minimum-bores: 5}
            - run-on-one-side: {bores: 7, action: alert}
      """;

  public static final RuleSet RULES = rules();

  private static final int WEAR_MICROMETRES_FOR_100 = 18;
  private static final int ONE_OUT_OF = 61;

  private Shop() {}

  /**
   * The value of a reading: noise on a slow wear that begins anew with each tool, and now and then
   * one that is out of limit.
   *
   * @param seed of the whole day
   * @param index from 0
   * @return as the gauge prints it, in mm
   */
  public static String value(long seed, int index) {
    Random random = new Random(seed * 31 + index * 7919L);
    random.nextInt();
    int micrometres = 6 + (index % 100) * WEAR_MICROMETRES_FOR_100 / 100 + random.nextInt(5);
    if (random.nextInt(ONE_OUT_OF) == 0) {
      micrometres = random.nextBoolean() ? 34 : -3;
    }
    return micrometres < 0
        ? String.format(Locale.ROOT, "61.%03d", 1000 + micrometres)
        : String.format(Locale.ROOT, "62.%03d", micrometres);
  }

  public static Event reading(long seed, int index) {
    long micrometres = Long.parseLong(value(seed, index).replace(".", ""));
    Length length = new Length(micrometres * 1_000_000L);
    return new Event.ReadingTaken(
        new Reading(GAUGE, length, Unit.MILLIMETRE, 3, Optional.empty(), Optional.empty()));
  }

  public static Event started(int boot, boolean clean) {
    CellPolicy policy =
        new CellPolicy(
            CELL,
            List.of(),
            List.of(),
            false,
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

  public static Event rulesLoaded() {
    return new Event.RulesLoaded(RULES);
  }

  public static Event source(boolean connected) {
    return new Event.SourceChanged(PORT, List.of(GAUGE), connected, "");
  }

  /**
   * What the engine alone, never interrupted, says of the first values of a day.
   *
   * @param seed of the day
   * @param count how many values
   * @return the story
   */
  public static List<String> golden(long seed, int count) {
    List<Event> events = new ArrayList<>(List.of(started(1, true), rulesLoaded(), source(true)));
    for (int index = 0; index < count; index++) {
      events.add(reading(seed, index));
    }
    List<Entry> entries = new ArrayList<>();
    State state = State.initial();
    Instant at = Instant.parse("2026-05-05T08:00:00Z");
    for (Event event : events) {
      long seq = entries.size() + 1L;
      Step step = Engine.step(state, new Stamped(seq, at, event));
      state = step.next();
      entries.add(entry(seq, seq, at, EventCodec.encode(event)));
      for (Decision decision : step.decisions()) {
        entries.add(entry(entries.size() + 1L, seq, at, DecisionCodec.encode(decision)));
      }
    }
    return Story.of(entries);
  }

  private static Entry entry(long seq, long cause, Instant at, Coded coded) {
    return new Entry(seq, cause, at, coded.kind(), coded.topic(), 0, "", coded.body());
  }

  private static RuleSet rules() {
    if (RulesFile.read("rules.yaml", RULES_YAML) instanceof Outcome.Good<RulesResult> good) {
      return good.value().rules();
    }
    throw new IllegalArgumentException(RulesFile.read("rules.yaml", RULES_YAML).toString());
  }
}
