package org.borewarden.agent.payload;

import com.fasterxml.jackson.core.JsonProcessingException;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.Function;
import org.borewarden.rules.engine.Event;
import org.borewarden.rules.part.RuleSet;

/** Events to and from the journal. A kind, once released, keeps its name and its members. */
public final class EventCodec {
  private static final String READING = "reading-taken";
  private static final String RULES = "rules-loaded";
  private static final String REJECTED = "frame-rejected";
  private static final Map<String, Class<? extends Event>> PLAIN = plain();

  private EventCodec() {}

  /**
   * Whether a journal kind is an event's.
   *
   * @param kind the kind of an entry
   * @return false for a decision's
   */
  public static boolean isEvent(String kind) {
    return kind.equals(READING)
        || kind.equals(RULES)
        || kind.equals(REJECTED)
        || PLAIN.containsKey(kind);
  }

  /**
   * Writes an event.
   *
   * @param event what happened
   * @return its kind, topic and body
   */
  public static Coded encode(Event event) {
    if (event instanceof Event.ReadingTaken taken) {
      return Coded.published(
          READING, "reading/" + taken.reading().gauge(), ReadingPayload.of(taken.reading()));
    }
    if (event instanceof Event.RulesLoaded loaded) {
      return Coded.kept(RULES, RulesBody.of(loaded.rules()));
    }
    if (event instanceof Event.FrameRejected rejected) {
      return Coded.published(
          REJECTED, "rejected/" + rejected.gauge(), RejectedPayload.of(rejected));
    }
    return Coded.kept(kindOf(event), event);
  }

  /**
   * Reads an event back.
   *
   * @param kind its kind
   * @param body its body
   * @param rules gives the rules of a revision, whose text the journal keeps
   * @return the event, equal to the one that was written
   * @throws JsonProcessingException when the body is not of that kind
   * @throws IllegalArgumentException when the kind is not an event's
   */
  public static Event decode(String kind, String body, Function<String, RuleSet> rules)
      throws JsonProcessingException {
    if (kind.equals(READING)) {
      return new Event.ReadingTaken(Json.read(body, ReadingPayload.class).reading());
    }
    if (kind.equals(RULES)) {
      return new Event.RulesLoaded(Json.read(body, RulesBody.class).rules(rules));
    }
    if (kind.equals(REJECTED)) {
      return Json.read(body, RejectedPayload.class).event();
    }
    Class<? extends Event> type = PLAIN.get(kind);
    if (type == null) {
      throw new IllegalArgumentException("not an event kind: " + kind);
    }
    return Json.read(body, type);
  }

  private static String kindOf(Event event) {
    return PLAIN.entrySet().stream()
        .filter(e -> e.getValue().equals(event.getClass()))
        .map(Map.Entry::getKey)
        .findFirst()
        .orElseThrow(() -> new IllegalStateException("no kind for " + event.getClass()));
  }

  private static Map<String, Class<? extends Event>> plain() {
    Map<String, Class<? extends Event>> kinds = new LinkedHashMap<>();
    kinds.put("agent-started", Event.AgentStarted.class);
    kinds.put("agent-stopped", Event.AgentStopped.class);
    kinds.put("rules-refused", Event.RulesRefused.class);
    kinds.put("source-changed", Event.SourceChanged.class);
    kinds.put("cell-reported", Event.CellReported.class);
    kinds.put("cell-test-walked", Event.CellTestWalked.class);
    kinds.put("link-changed", Event.LinkChanged.class);
    kinds.put("journal-changed", Event.JournalChanged.class);
    kinds.put("journal-doubted", Event.JournalDoubted.class);
    kinds.put("journal-noted", Event.JournalNoted.class);
    kinds.put("beat-changed", Event.BeatChanged.class);
    kinds.put("broker-changed", Event.BrokerChanged.class);
    kinds.put("command-given", Event.CommandGiven.class);
    kinds.put("command-refused", Event.CommandRefused.class);
    kinds.put("timer-fired", Event.TimerFired.class);
    kinds.put("grant-synced", Event.GrantSynced.class);
    kinds.put("clock-stepped", Event.ClockStepped.class);
    return kinds;
  }
}
