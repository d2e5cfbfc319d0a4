package org.borewarden.rules.engine;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.stream.Collectors;
import org.borewarden.rules.gauge.Attribution;
import org.borewarden.rules.gauge.Belief;
import org.borewarden.rules.gauge.BoreShift;
import org.borewarden.rules.gauge.GaugeTruth;
import org.borewarden.rules.gauge.Noise;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RingChecks;

/**
 * What a ring says of a gauge: as it was found, and as it was left. The first failed check makes
 * the gauge suspect at once; the checks that follow, on a clean ring, decide.
 */
final class RingTruth {
  private RingTruth() {}

  static void checked(Work work, String gauge, RingChecks rules, GaugeTruth.Session session) {
    Optional<Ring> known = work.rules.flatMap(r -> r.ring(session.ring()));
    GaugeTruth truth = Truths.truth(work, gauge);
    if (known.isEmpty()) {
      Truths.put(work, gauge, truth.withSession(Optional.empty()));
      return;
    }
    Ring ring = known.get();
    RingCheck check =
        new RingCheck(
            work.seq(),
            work.at(),
            ring.id(),
            ring.size(),
            ring.uncertainty().map(u -> u.picometres() / Ring.COVERAGE).orElse(0.0),
            session.readings(),
            RingCheck.passes(session.readings(), ring.size(), rules.errorLimit()));
    long seq = work.nextSeq();
    work.decide(new Decision.RingChecked(gauge, check, session.mastered().isPresent()));
    if (check.passed()) {
      evidence(work, gauge, seq);
    }
    if (session.mastered().isPresent()) {
      asLeft(work, gauge, rules, check, session.mastered());
    } else {
      asFound(work, gauge, rules, check);
    }
    Truths.conditions(work);
  }

  /** A good check is evidence for a release: what the gauge said of the cell's bores was so. */
  private static void evidence(Work work, String gauge, long seq) {
    for (String cell : List.copyOf(work.cells.keySet())) {
      Set<String> measured =
          work.rules.stream()
              .flatMap(rules -> rules.features().stream())
              .filter(f -> f.gauge().equals(gauge) && f.cell().equals(Optional.of(cell)))
              .map(Feature::id)
              .collect(Collectors.toSet());
      if (!measured.isEmpty()) {
        Holding.evidence(work, cell, measured, seq);
      }
    }
  }

  /** How the gauge was left after it was set to its ring. */
  private static void asLeft(
      Work work, String gauge, RingChecks rules, RingCheck check, OptionalLong mastered) {
    GaugeTruth truth = Truths.truth(work, gauge).left(check);
    if (check.passed()) {
      good(work, gauge, rules, truth.believed(check, mastered));
    } else {
      Truths.put(work, gauge, truth.counted(Belief.FAILED, check));
    }
  }

  private static void asFound(Work work, String gauge, RingChecks rules, RingCheck check) {
    GaugeTruth truth = Truths.truth(work, gauge);
    switch (truth.belief()) {
      case GOOD, UNKNOWN -> {
        if (check.passed()) {
          good(work, gauge, rules, truth.believed(check, OptionalLong.empty()));
        } else {
          suspect(work, gauge, truth, Optional.of(check), Belief.SUSPECT);
        }
      }
      case SUSPECT -> {
        GaugeTruth counted = truth.counted(Belief.SUSPECT, check);
        if (counted.good() >= rules.good()) {
          counted.window().ifPresent(seq -> work.decide(new Decision.WindowWithdrawn(gauge, seq)));
          good(work, gauge, rules, truth.believed(check, OptionalLong.empty()));
        } else if (counted.bad() > rules.of() - rules.good()) {
          Truths.put(work, gauge, truth.counted(Belief.FAILED, check));
        } else {
          Truths.put(work, gauge, counted);
        }
      }
      case FAILED -> Truths.put(work, gauge, truth.counted(Belief.FAILED, check));
    }
  }

  private static void good(Work work, String gauge, RingChecks rules, GaugeTruth truth) {
    Truths.put(work, gauge, truth);
    Truths.dueAfter(work, gauge, rules);
  }

  /** The gauge was set to its ring: without a check before that, nobody knows what it read. */
  static void mastered(Work work, String gauge) {
    GaugeTruth truth = Truths.truth(work, gauge);
    boolean asFoundMissing =
        truth.log().size() > 0
            && (truth.belief() == Belief.GOOD || truth.belief() == Belief.UNKNOWN);
    if (asFoundMissing) {
      suspect(work, gauge, truth, Optional.empty(), Belief.UNKNOWN);
    }
    Truths.put(work, gauge, Truths.truth(work, gauge).set(!asFoundMissing));
  }

  private static void suspect(
      Work work, String gauge, GaugeTruth truth, Optional<RingCheck> failed, Belief belief) {
    Noise noise = noise(work, gauge);
    boolean bounded = truth.lastGood().isPresent() && failed.isPresent();
    SuspectWindow window =
        bounded
            ? SuspectWindow.of(
                truth.lastGood().get(), failed.get(), noise, truth.log(), truth.step())
            : SuspectWindow.whole(truth.lastGood(), failed, truth.log());
    Optional<Attribution> attribution =
        bounded
            ? BoreShift.of(truth.before(), truth.log().bores())
                .map(bores -> attribution(truth.lastGood().get(), failed.get(), noise, bores))
            : Optional.empty();
    long seq = work.nextSeq();
    work.decide(new Decision.WindowSuspected(gauge, window, attribution));
    Truths.put(work, gauge, truth.doubted(belief, seq, failed));
  }

  private static Attribution attribution(
      RingCheck good, RingCheck failed, Noise noise, Attribution.Shift bores) {
    double u =
        Math.hypot(noise.ofMean(good.readings().size()), noise.ofMean(failed.readings().size()));
    return Attribution.of(
        bores,
        new Attribution.Shift(failed.error() - good.error(), u),
        noise.ofReading(),
        good.readings().size());
  }

  private static Noise noise(Work work, String gauge) {
    Optional<GaugeRules> rules = work.rules.flatMap(r -> r.gauge(gauge));
    return new Noise(
        picometres(rules.flatMap(GaugeRules::repeatability)),
        picometres(rules.flatMap(GaugeRules::resolution)));
  }

  private static double picometres(Optional<Length> length) {
    return length.map(l -> (double) l.picometres()).orElse(0.0);
  }
}
