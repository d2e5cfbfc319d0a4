package org.borewarden.agent.payload;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.gauge.Attribution;
import org.borewarden.rules.gauge.LoggedBore;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Unit;

/**
 * A suspect window; topic {@code recheck/<gauge>}: the bores that must be measured again because
 * their gauge was found to be wrong. All lengths in mm.
 *
 * @param gauge the gauge
 * @param state {@code suspect}, {@code as-found-missing} where the gauge was set to its ring before
 *     anybody looked, or withdrawn where the checks that followed were good
 * @param withdraws the seq of the window that is withdrawn
 * @param from the last good check
 * @param until the failed check
 * @param errorLeast the least error of the gauge that is possible for a bore of the window
 * @param errorMost the most
 * @param bores how many bores lie in the window
 * @param cut whether more bores belong to the window than are remembered
 * @param again those to measure again, oldest first
 * @param attribution whether the bores' own shift is the gauge's or the process's
 */
record RecheckPayload(
    String gauge,
    String state,
    OptionalLong withdraws,
    Optional<RingPayload> from,
    Optional<RingPayload> until,
    Optional<BigDecimal> errorLeast,
    Optional<BigDecimal> errorMost,
    OptionalInt bores,
    Optional<Boolean> cut,
    List<Again> again,
    Optional<Cause> attribution) {
  RecheckPayload {
    again = List.copyOf(again);
  }

  /**
   * A bore to measure again.
   *
   * @param seq the seq of its verdict
   * @param at when it was judged
   * @param feature its feature
   * @param part its part's number
   * @param serial its part's serial
   * @param verdict what was said
   * @param likely what would likely be said, where an error is known
   * @param likelySize the size that it would likely have
   */
  record Again(
      long seq,
      String at,
      String feature,
      long part,
      Optional<String> serial,
      String verdict,
      Optional<String> likely,
      Optional<BigDecimal> likelySize) {}

  /**
   * An attribution.
   *
   * @param answer gauge, process, both or cannot-tell
   * @param boreShift the shift of the bores
   * @param boreUncertainty its standard uncertainty
   * @param ringShift the shift of the ring errors
   * @param ringUncertainty its standard uncertainty
   * @param readingsToDecide how many ring readings would have decided
   */
  record Cause(
      String answer,
      BigDecimal boreShift,
      BigDecimal boreUncertainty,
      BigDecimal ringShift,
      BigDecimal ringUncertainty,
      OptionalInt readingsToDecide) {}

  static RecheckPayload of(Decision.WindowSuspected suspected) {
    SuspectWindow window = suspected.window();
    return new RecheckPayload(
        suspected.gauge(),
        window.until().isPresent() ? "suspect" : "as-found-missing",
        OptionalLong.empty(),
        window.from().map(RingPayload::of),
        window.until().map(RingPayload::of),
        mm(window.least()),
        mm(window.most()),
        OptionalInt.of(window.bores()),
        Optional.of(window.cut()),
        window.listed().stream().map(RecheckPayload::again).toList(),
        suspected.attribution().map(RecheckPayload::cause));
  }

  static RecheckPayload of(Decision.WindowWithdrawn withdrawn) {
    return new RecheckPayload(
        withdrawn.gauge(),
        "withdrawn",
        OptionalLong.of(withdrawn.window()),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        Optional.empty(),
        OptionalInt.empty(),
        Optional.empty(),
        List.of(),
        Optional.empty());
  }

  private static Again again(SuspectWindow.Suspect suspect) {
    LoggedBore bore = suspect.bore();
    return new Again(
        bore.seq(),
        Json.time(bore.at()),
        bore.feature(),
        bore.part(),
        bore.serial(),
        bore.verdict().key(),
        suspect.verdict().map(Verdict::key),
        suspect.likely().map(size -> Size.in(size, Unit.MILLIMETRE, 6)));
  }

  private static Cause cause(Attribution attribution) {
    return new Cause(
        attribution.answer().key(),
        RingPayload.mm(attribution.boreShift()),
        RingPayload.mm(attribution.boreUncertainty()),
        RingPayload.mm(attribution.ringShift()),
        RingPayload.mm(attribution.ringUncertainty()),
        attribution.readingsToDecide());
  }

  private static Optional<BigDecimal> mm(OptionalDouble picometres) {
    return picometres.isPresent()
        ? Optional.of(RingPayload.mm(picometres.getAsDouble()))
        : Optional.empty();
  }
}
