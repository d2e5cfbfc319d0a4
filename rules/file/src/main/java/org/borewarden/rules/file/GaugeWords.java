package org.borewarden.rules.file;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.borewarden.rules.file.yaml.Scalars;
import org.borewarden.rules.gauge.Noise;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.BeliefCheck;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Head;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RingChecks;
import org.borewarden.rules.part.RingSigns;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.Which;

/** Says what the rules know of a gauge. */
final class GaugeWords {
  /** How many standard uncertainties of a check its limit must be wide. */
  private static final double TIMES_NOISE = 3;

  private GaugeWords() {}

  static List<String> of(GaugeRules gauge, RuleSet rules) {
    List<String> lines = new ArrayList<>();
    lines.add(
        "gauge "
            + gauge.id()
            + gauge.head().map(Head::key).map(h -> ", " + h + " head").orElse(""));
    if (gauge.from().isPresent() || gauge.to().isPresent()) {
      lines.add(
          "  reads"
              + gauge.from().map(l -> " from " + ShownLength.size(l, Unit.MILLIMETRE)).orElse("")
              + gauge.to().map(l -> " up to " + ShownLength.size(l, Unit.MILLIMETRE)).orElse(""));
    }
    gauge
        .checks()
        .ifPresent(
            checks -> {
              rules.ring(checks.ring()).ifPresent(ring -> lines.add(ring(ring)));
              lines.add(checks(checks));
              lines.addAll(signs(checks, rules));
              noisy(gauge, checks).ifPresent(lines::add);
            });
    if (gauge.checks().isEmpty()) {
      lines.add("  no ring check: it is believed as it is");
    }
    gauge
        .soak()
        .ifPresent(time -> lines.add("  soaks " + Scalars.shown(time) + " after it came on"));
    gauge.which().ifPresent(which -> lines.addAll(which(which, gauge, rules)));
    gauge.believe().forEach(check -> lines.add("  " + believe(check)));
    gauge.calibrationDue().ifPresent(day -> lines.add("  calibrated until " + day));
    return lines;
  }

  private static List<String> which(Which which, GaugeRules gauge, RuleSet rules) {
    if (which instanceof Which.InSequence sequence) {
      return List.of(
          "  in sequence: " + String.join(", ", sequence.features()) + ", then the next part");
    }
    if (which instanceof Which.ByCell) {
      return List.of("  the cell names the feature; while it names none, a reading is not judged");
    }
    Which.BySize bySize = (Which.BySize) which;
    return rules.features().stream()
        .filter(feature -> feature.gauge().equals(gauge.id()))
        .flatMap(
            feature ->
                bySize.window(feature).stream()
                    .map(
                        window ->
                            "  a size from "
                                + ShownLength.size(window.from(), feature.unit())
                                + " to "
                                + ShownLength.size(window.to(), feature.unit())
                                + " is of "
                                + window.feature()))
        .toList();
  }

  private static String believe(BeliefCheck check) {
    String then = ": " + check.then().name().toLowerCase(Locale.ROOT);
    if (check instanceof BeliefCheck.HeadRange) {
      return "outside its range" + then;
    } else if (check instanceof BeliefCheck.Window window) {
      return "farther from the nominal than "
          + ShownLength.size(window.within(), Unit.MILLIMETRE)
          + then;
    } else if (check instanceof BeliefCheck.OtherUnit) {
      return "about 25.4 times or a 25.4th of the nominal" + then;
    } else if (check instanceof BeliefCheck.Digits digits) {
      return "other than " + digits.decimals() + " decimals" + then;
    }
    BeliefCheck.Bounce bounce = (BeliefCheck.Bounce) check;
    return "the same reading again within " + Scalars.shown(bounce.within()) + then;
  }

  /** A limit that noise alone passes now and then finds nothing but noise. */
  private static Optional<String> noisy(GaugeRules gauge, RingChecks checks) {
    Noise noise =
        new Noise(
            gauge.repeatability().map(l -> (double) l.picometres()).orElse(0.0),
            gauge.resolution().map(l -> (double) l.picometres()).orElse(0.0));
    Length least = new Length((long) Math.ceil(TIMES_NOISE * noise.ofMean(checks.readings())));
    return checks.errorLimit().isBelow(least)
        ? Optional.of(
            "  caution: noise alone fails such a check now and then; an error limit of at least "
                + ShownLength.size(least, Unit.MILLIMETRE)
                + " would not")
        : Optional.empty();
  }

  private static String ring(Ring ring) {
    return "  ring "
        + ring.id()
        + ", certified "
        + ShownLength.size(ring.size(), Unit.MILLIMETRE)
        + ring.uncertainty()
            .map(u -> ", U = " + ShownLength.size(u, Unit.MILLIMETRE) + " (k = 2)")
            .orElse("")
        + ring.certificate().map(c -> ", certificate " + c).orElse("")
        + ring.calibrationDue().map(day -> ", until " + day).orElse("");
  }

  private static List<String> signs(RingChecks checks, RuleSet rules) {
    List<String> lines = new ArrayList<>();
    RingSigns signs = checks.signs();
    signs.check().ifPresent(mark -> lines.add("  of the ring: a reading with " + mark(mark)));
    signs.mastered().ifPresent(mark -> lines.add("  set to the ring: a frame with " + mark(mark)));
    signs
        .near()
        .flatMap(near -> rules.ring(checks.ring()).map(ring -> near.window(ring.size())))
        .ifPresent(
            window ->
                lines.add(
                    "  of the ring: a size from "
                        + ShownLength.size(window.from(), Unit.MILLIMETRE)
                        + " to "
                        + ShownLength.size(window.to(), Unit.MILLIMETRE)));
    return lines;
  }

  private static String mark(RingSigns.Mark mark) {
    return Stream.concat(
            mark.input().map(input -> "input " + input).stream(),
            mark.status().map(status -> "status " + status).stream())
        .collect(Collectors.joining(" and "));
  }

  private static String checks(RingChecks checks) {
    Optional<String> bores =
        checks.everyBores().isPresent()
            ? Optional.of(checks.everyBores().getAsInt() + " bores")
            : Optional.empty();
    Optional<String> time = checks.every().map(Scalars::shown);
    String due =
        bores.isPresent() && time.isPresent()
            ? ", due after " + bores.get() + " or " + time.get()
            : bores.or(() -> time).map(d -> ", due after " + d).orElse("");
    return "  ring check: "
        + (checks.readings() == 1 ? "1 reading" : checks.readings() + " readings")
        + ", error at most "
        + ShownLength.size(checks.errorLimit(), Unit.MILLIMETRE)
        + due
        + "; after a failed one "
        + checks.good()
        + " of "
        + checks.of();
  }
}
