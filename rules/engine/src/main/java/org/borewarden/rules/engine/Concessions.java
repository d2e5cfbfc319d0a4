package org.borewarden.rules.engine;

import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.judge.Acceptance;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Places;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Limits;

/** Other limits for named parts, with who granted them and until when. */
final class Concessions {
  private Concessions() {}

  /** Grants; a later concession for the same part takes the place of the earlier one. */
  static AnswerCode grant(Work work, Order.Concession order) {
    FeatureState known = work.features.get(order.feature());
    if (known == null) {
      return AnswerCode.NOTHING_HELD;
    }
    Optional<Limits> limits =
        limits(known.feature(), order.lower(), order.upper()).filter(l -> order.grantsSomething());
    if (limits.isEmpty()) {
      return AnswerCode.MALFORMED;
    }
    LocalDate today = work.at().atZone(ZoneOffset.UTC).toLocalDate();
    ShiftState state = Shifts.of(work, order.feature());
    List<Concession> left = new ArrayList<>();
    for (Concession before : state.concessions()) {
      boolean over = LocalDate.parse(before.until()).isBefore(today);
      if (!over && !order.serials().contains(before.serial())) {
        left.add(before);
      }
    }
    for (String serial : order.serials()) {
      left.add(
          new Concession(serial, order.lower(), order.upper(), order.until(), order.authority()));
    }
    if (left.size() > ShiftState.MOST_CONCESSIONS) {
      return AnswerCode.OVER_LIMIT;
    }
    work.shifts.put(order.feature(), state.withConcessions(left));
    return AnswerCode.ACCEPTED;
  }

  /** Takes a concession back before its last day. */
  static Reply withdraw(Work work, Order.WithdrawConcession order) {
    ShiftState state = Shifts.of(work, order.feature());
    List<Concession> left =
        state.concessions().stream().filter(c -> !c.serial().equals(order.serial())).toList();
    if (left.size() == state.concessions().size()) {
      return new Reply(AnswerCode.NOTHING_HELD, "no concession stands for " + order.serial());
    }
    work.shifts.put(order.feature(), state.withConcessions(left));
    return Reply.of(AnswerCode.ACCEPTED);
  }

  /** What a concession says of a bore that is out of its limits. */
  static Optional<Conceded> of(Work work, Feature feature, Bore bore, Judgement judgement) {
    List<Concession> granted = Shifts.of(work, feature.id()).concessions();
    if (granted.isEmpty() || !judgement.verdict().isOut() || bore.context().serial().isEmpty()) {
      return Optional.empty();
    }
    String serial = bore.context().serial().get();
    return granted.stream()
        .filter(c -> c.serial().equals(serial) && work.before(Optional.of(c.until())))
        .findFirst()
        .flatMap(c -> conceded(work, feature, bore, c));
  }

  private static Optional<Conceded> conceded(
      Work work, Feature feature, Bore bore, Concession concession) {
    return limits(feature, concession.lower(), concession.upper())
        .map(
            limits -> {
              Acceptance acceptance =
                  Acceptance.of(limits, work.feature(feature.id()).acceptance().rule());
              Verdict verdict = Places.judge(acceptance, bore.judged()).verdict();
              return new Conceded(
                  concession.authority(),
                  concession.until(),
                  concession.lower(),
                  concession.upper(),
                  verdict);
            });
  }

  private static Optional<Limits> limits(
      Feature feature, Optional<Length> lower, Optional<Length> upper) {
    Optional<Length> low = lower.or(() -> feature.limits().lower());
    Optional<Length> high = upper.or(() -> feature.limits().upper());
    boolean crossed = low.isPresent() && high.isPresent() && !low.get().isBelow(high.get());
    return crossed ? Optional.empty() : Optional.of(new Limits(low, high));
  }
}
