package org.borewarden.rules.hold;

import java.time.Duration;
import java.time.Instant;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/** The two commands by which a person gives the permit, and why they are refused. */
final class Commands {
  private Commands() {}

  static void release(HoldDraft draft, HoldInput.Release release) {
    Optional<AnswerCode> refusal = releaseRefusal(draft, release);
    if (refusal.isPresent()) {
      draft.code = refusal;
    } else if (!release.evidenceThere()) {
      Trial trial = Trial.begin(release.trial().orElseThrow(), release.by());
      draft.pend(Grant.Kind.TRIAL, Optional.of(trial), Optional.empty(), release.by());
      draft.answer(AnswerCode.PENDING_EVIDENCE);
    } else {
      writeRelease(draft, release.by());
      draft.answer(AnswerCode.ACCEPTED);
    }
  }

  private static void writeRelease(HoldDraft draft, String by) {
    if (draft.phase == Phase.BYPASSED) {
      draft.pend(Grant.Kind.RELEASE, Optional.empty(), Optional.empty(), by);
    } else {
      Gives.writeRelease(draft, by);
    }
  }

  private static Optional<AnswerCode> releaseRefusal(HoldDraft draft, HoldInput.Release release) {
    if (release.hold() != draft.number || release.revision() != draft.revision) {
      return Optional.of(AnswerCode.SUPERSEDED);
    }
    return phaseRefusal(draft, release.evidenceThere())
        .or(
            () ->
                draft.conditions.isEmpty()
                    ? Optional.empty()
                    : refuse(AnswerCode.CONDITION_PRESENT))
        .or(() -> draft.fresh ? Optional.empty() : refuse(AnswerCode.STARTING))
        .or(() -> inFlight(draft) ? refuse(AnswerCode.ALREADY_PENDING) : Optional.empty())
        .or(() -> release.evidenceThere() ? Optional.empty() : termsRefusal(release.trial()));
  }

  private static Optional<AnswerCode> phaseRefusal(HoldDraft draft, boolean evidenceThere) {
    return switch (draft.phase) {
      case STARTING -> refuse(AnswerCode.STARTING);
      case PERMITTED, NOT_READY -> refuse(AnswerCode.NOTHING_HELD);
      case REQUESTED, HEARD -> Optional.empty();
      case TRIAL -> evidenceThere ? Optional.empty() : refuse(AnswerCode.ALREADY_PENDING);
      case RELEASING -> refuse(AnswerCode.ALREADY_PENDING);
      case BYPASSED -> evidenceThere ? Optional.empty() : refuse(AnswerCode.EVIDENCE_MISSING);
    };
  }

  /** A release out of a trial may overtake the trial's own return; nothing else is overtaken. */
  private static boolean inFlight(HoldDraft draft) {
    return draft.grant.isPresent() && draft.phase != Phase.TRIAL;
  }

  private static Optional<AnswerCode> termsRefusal(Optional<Trial.Terms> terms) {
    if (terms.isEmpty()) {
      return refuse(AnswerCode.EVIDENCE_MISSING);
    }
    return terms.get().withinLimits() ? Optional.empty() : refuse(AnswerCode.OVER_LIMIT);
  }

  static void bypass(HoldDraft draft, HoldInput.BypassStart start) {
    if (start.hold() != draft.number || start.revision() != draft.revision) {
      draft.answer(AnswerCode.SUPERSEDED);
      return;
    }
    switch (draft.phase) {
      case PERMITTED -> draft.answer(AnswerCode.NOTHING_HELD);
      case TRIAL, RELEASING -> draft.answer(AnswerCode.ALREADY_PENDING);
      case BYPASSED -> {}
      case STARTING, NOT_READY, REQUESTED, HEARD -> beginBypass(draft, start);
    }
  }

  private static void beginBypass(HoldDraft draft, HoldInput.BypassStart start) {
    Optional<AnswerCode> refusal = bypassRefusal(draft, start);
    if (refusal.isPresent()) {
      draft.code = refusal;
      return;
    }
    Instant until = draft.at.plus(Duration.ofMinutes(start.minutes()));
    Bypass bypass = new Bypass(start.causes(), until, start.by());
    draft.pend(Grant.Kind.BYPASS, Optional.empty(), Optional.of(bypass), start.by());
    draft.answer(AnswerCode.ACCEPTED);
  }

  private static Optional<AnswerCode> bypassRefusal(HoldDraft draft, HoldInput.BypassStart start) {
    if (draft.conditions.stream().anyMatch(c -> c.reason() == Reason.JOURNAL)) {
      return refuse(AnswerCode.NOT_RECORDED);
    }
    if (draft.grant.isPresent()) {
      return refuse(AnswerCode.ALREADY_PENDING);
    }
    if (start.minutes() < 1
        || start.minutes() > Bypass.MAX_MINUTES
        || startsThisShift(draft) >= Bypass.MAX_PER_SHIFT) {
      return refuse(AnswerCode.OVER_LIMIT);
    }
    return namesRefusal(draft.causes, start.causes());
  }

  private static long startsThisShift(HoldDraft draft) {
    Instant shiftBegan = draft.at.minus(Bypass.SHIFT);
    return draft.bypassStarts.stream().filter(began -> !began.isBefore(shiftBegan)).count();
  }

  /** The command must name every cause that stands, and none that does not. */
  private static Optional<AnswerCode> namesRefusal(List<Cause> standing, List<String> named) {
    Set<String> keys = standing.stream().map(Cause::key).collect(Collectors.toSet());
    Set<String> names = new HashSet<>(named);
    if (!keys.containsAll(names)) {
      return refuse(AnswerCode.NOTHING_HELD);
    }
    return names.containsAll(keys) ? Optional.empty() : refuse(AnswerCode.SUPERSEDED);
  }

  private static Optional<AnswerCode> refuse(AnswerCode code) {
    return Optional.of(code);
  }
}
