package org.borewarden.rules.gauge;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.measure.Length;

/**
 * What is known of a gauge that is checked on a ring.
 *
 * @param belief whether it may be believed
 * @param session the ring on it now
 * @param lastGood its last good check
 * @param mastered the seq of the last mastering
 * @param setting how it was found and left when it was set to its ring last
 * @param log the bores since the last good check
 * @param before the last bores before that check
 * @param step how many bores of the log came before something happened to the gauge
 * @param good the good checks since it became suspect
 * @param bad the failed ones, without the first
 * @param window the seq of the suspect window that stands
 * @param checks the last checks, oldest first
 * @param due whether the next check is due and was asked for
 */
public record GaugeTruth(
    Belief belief,
    Optional<Session> session,
    Optional<RingCheck> lastGood,
    OptionalLong mastered,
    Optional<Setting> setting,
    BoreLog log,
    List<LoggedBore> before,
    OptionalInt step,
    int good,
    int bad,
    OptionalLong window,
    List<RingCheck> checks,
    boolean due) {
  /** Nothing is known yet. */
  public static final GaugeTruth NONE =
      new GaugeTruth(
          Belief.UNKNOWN,
          Optional.empty(),
          Optional.empty(),
          OptionalLong.empty(),
          Optional.empty(),
          BoreLog.EMPTY,
          List.of(),
          OptionalInt.empty(),
          0,
          0,
          OptionalLong.empty(),
          List.of(),
          false);

  /** The checks that are kept. */
  public static final int MOST_CHECKS = 32;

  /** Copies the lists. */
  public GaugeTruth {
    before = List.copyOf(before);
    checks = List.copyOf(checks);
  }

  /**
   * The last time that it was set to its ring.
   *
   * @param asFound the check before; empty where there was none, or none since its last bore
   * @param asLeft the check after; empty until it is made
   */
  public record Setting(Optional<RingCheck> asFound, Optional<RingCheck> asLeft) {}

  /**
   * A ring on the gauge.
   *
   * @param ring the ring's id
   * @param mastered the seq of the order that said that the gauge was set to it; empty for a check
   *     of the gauge as it was found
   * @param signed whether a sign of the gauge began it: then only readings with the sign are of the
   *     ring, and one without it is of a part
   * @param readings the readings so far
   */
  public record Session(String ring, OptionalLong mastered, boolean signed, List<Length> readings) {
    /** Copies the list. */
    public Session {
      readings = List.copyOf(readings);
    }

    /**
     * One reading more.
     *
     * @param reading the reading
     * @return the session with it
     */
    public Session with(Length reading) {
      List<Length> more = new ArrayList<>(readings);
      more.add(reading);
      return new Session(ring, mastered, signed, more);
    }
  }

  /**
   * A ring is put on.
   *
   * @param next the session; empty ends it
   * @return the truth with it
   */
  public GaugeTruth withSession(Optional<Session> next) {
    return new GaugeTruth(
        belief, next, lastGood, mastered, setting, log, before, step, good, bad, window, checks,
        due);
  }

  /**
   * A bore was judged.
   *
   * @param bore the bore
   * @return the truth with it
   */
  public GaugeTruth withBore(LoggedBore bore) {
    return withLog(log.with(bore));
  }

  /**
   * Another log.
   *
   * @param next the log
   * @return the truth with it
   */
  public GaugeTruth withLog(BoreLog next) {
    return new GaugeTruth(
        belief, session, lastGood, mastered, setting, next, before, step, good, bad, window, checks,
        due);
  }

  /**
   * The next check is due.
   *
   * @return the truth with that
   */
  public GaugeTruth withDue() {
    return new GaugeTruth(
        belief, session, lastGood, mastered, setting, log, before, step, good, bad, window, checks,
        true);
  }

  /**
   * Something happened to the gauge.
   *
   * @return the truth: unknown, unless it was doubted already
   */
  public GaugeTruth disturbed() {
    return new GaugeTruth(
        belief == Belief.GOOD ? Belief.UNKNOWN : belief,
        Optional.empty(),
        lastGood,
        mastered,
        setting,
        log,
        before,
        step.isPresent() ? step : OptionalInt.of(log.size()),
        good,
        bad,
        window,
        checks,
        due);
  }

  /**
   * A check was good and counts: the bores since the one before it stand.
   *
   * @param check the check
   * @param master the seq of the mastering, where it shows how the gauge was left
   * @return the truth
   */
  public GaugeTruth believed(RingCheck check, OptionalLong master) {
    return new GaugeTruth(
        Belief.GOOD,
        Optional.empty(),
        Optional.of(check),
        master.isPresent() ? master : mastered,
        setting,
        BoreLog.EMPTY,
        BoreShift.last(log.bores()),
        OptionalInt.empty(),
        0,
        0,
        OptionalLong.empty(),
        with(check),
        false);
  }

  /**
   * A check failed, or the gauge was set without one: its bores stand in a suspect window.
   *
   * @param next what is believed of it from here on
   * @param windowSeq the seq of the window
   * @param check the failed check; empty where there is none
   * @return the truth
   */
  public GaugeTruth doubted(Belief next, long windowSeq, Optional<RingCheck> check) {
    return new GaugeTruth(
        next,
        Optional.empty(),
        lastGood,
        mastered,
        setting,
        log,
        before,
        step,
        0,
        0,
        OptionalLong.of(windowSeq),
        check.map(this::with).orElse(checks),
        due);
  }

  /**
   * A check that decides nothing yet, or only that the gauge must be set anew.
   *
   * @param next what is believed of it from here on
   * @param check the check
   * @return the truth
   */
  public GaugeTruth counted(Belief next, RingCheck check) {
    return new GaugeTruth(
        next,
        Optional.empty(),
        lastGood,
        mastered,
        setting,
        log,
        before,
        step,
        good + (check.passed() ? 1 : 0),
        bad + (check.passed() ? 0 : 1),
        window,
        with(check),
        due);
  }

  /**
   * The gauge is set to its ring: what it read before is behind it.
   *
   * @param found whether its last check shows how it was found
   * @return the truth, unknown until it was checked
   */
  public GaugeTruth set(boolean found) {
    return new GaugeTruth(
        Belief.UNKNOWN,
        session,
        Optional.empty(),
        mastered,
        Optional.of(new Setting(found ? last() : Optional.empty(), Optional.empty())),
        BoreLog.EMPTY,
        BoreShift.last(log.bores()),
        OptionalInt.empty(),
        0,
        0,
        window,
        checks,
        due);
  }

  /**
   * The check behind a setting, good or not.
   *
   * @param check the check
   * @return the truth with it
   */
  public GaugeTruth left(RingCheck check) {
    return new GaugeTruth(
        belief,
        session,
        lastGood,
        mastered,
        setting.map(set -> new Setting(set.asFound(), Optional.of(check))),
        log,
        before,
        step,
        good,
        bad,
        window,
        checks,
        due);
  }

  private Optional<RingCheck> last() {
    return checks.isEmpty() ? Optional.empty() : Optional.of(checks.get(checks.size() - 1));
  }

  private List<RingCheck> with(RingCheck check) {
    List<RingCheck> all = new ArrayList<>(checks);
    all.add(check);
    return all.size() > MOST_CHECKS ? all.subList(1, all.size()) : all;
  }
}
