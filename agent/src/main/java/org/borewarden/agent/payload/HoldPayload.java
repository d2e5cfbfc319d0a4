package org.borewarden.agent.payload;

import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.borewarden.rules.hold.Cause;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.HoldView;

/**
 * A cell's hold; topic {@code hold/<cell>}, retained, valid only with the heartbeat.
 *
 * @param cell the cell
 * @param state the state, in words
 * @param permit whether the run permit is given
 * @param kind where the cell is asked to stop
 * @param hold the number of the latched hold; 0 none
 * @param revision new at each new cause or condition
 * @param causes what raised it
 * @param conditions what withholds the permit and clears by itself
 * @param heard whether the cell has heard it
 * @param stopped whether the cell has stopped for it
 * @param trialPartsLeft parts left in a trial
 * @param bypassUntil when a bypass ends
 * @param contain the parts to hold back
 * @param since when the permit was last given or withdrawn
 * @param by who did that
 * @param watchOnly whether the cell is in watch-only
 * @param challenge what a command about this hold must quote
 */
record HoldPayload(
    String cell,
    String state,
    boolean permit,
    Optional<String> kind,
    int hold,
    int revision,
    List<CausePayload> causes,
    List<ConditionPayload> conditions,
    boolean heard,
    boolean stopped,
    int trialPartsLeft,
    Optional<Instant> bypassUntil,
    List<String> contain,
    Instant since,
    String by,
    boolean watchOnly,
    String challenge) {
  HoldPayload {
    causes = List.copyOf(causes);
    conditions = List.copyOf(conditions);
    contain = List.copyOf(contain);
  }

  /**
   * A cause.
   *
   * @param cause its key
   * @param reason why, as a key
   * @param reasonNumber why, as the number that the cell sees
   * @param feature the feature, if one
   * @param kind where it asks the cell to stop
   * @param seq the seq of the event that first raised it
   * @param count how often it was raised
   */
  record CausePayload(
      String cause,
      String reason,
      int reasonNumber,
      Optional<String> feature,
      String kind,
      long seq,
      int count) {
    static CausePayload of(Cause cause) {
      return new CausePayload(
          cause.key(),
          cause.reason().key(),
          cause.reason().number(),
          cause.feature(),
          word(cause.kind()),
          cause.seq(),
          cause.count());
    }
  }

  /**
   * A condition.
   *
   * @param condition its key
   * @param reasonNumber the number that the cell sees
   * @param subject what it concerns
   */
  record ConditionPayload(String condition, int reasonNumber, Optional<String> subject) {
    static ConditionPayload of(Condition condition) {
      return new ConditionPayload(
          condition.reason().key(), condition.reason().number(), condition.subject());
    }
  }

  static HoldPayload of(HoldView hold) {
    return new HoldPayload(
        hold.cell(),
        word(hold.phase()),
        hold.permitted(),
        hold.kind().map(HoldPayload::word),
        hold.number(),
        hold.revision(),
        hold.causes().stream().map(CausePayload::of).toList(),
        hold.conditions().stream().map(ConditionPayload::of).toList(),
        hold.heard(),
        hold.stopped(),
        hold.trialPartsLeft(),
        hold.bypassUntil(),
        hold.contain(),
        hold.since(),
        hold.by(),
        hold.watchOnly(),
        hold.challenge());
  }

  private static String word(Enum<?> value) {
    return value.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }
}
