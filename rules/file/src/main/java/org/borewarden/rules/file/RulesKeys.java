package org.borewarden.rules.file;

import java.util.List;
import org.borewarden.rules.file.yaml.Keys;

/** Every key of rules.yaml, by mapping. The schema and the reference page are held against it. */
final class RulesKeys {
  private static final String UNCERTAINTY_STANDS_THERE =
      "stands at the feature: uncertainty: {U: 3 um, k: 2}";

  static final Keys FILE =
      Keys.of("file", "part", "cell", "drawing", "rings", "gauges", "features", "pools");
  static final Keys FEATURE =
      Keys.of(
          "feature",
          "id",
          "number",
          "part",
          "gauge",
          "input",
          "cell",
          "tool",
          "size",
          "nominal",
          "upper",
          "lower",
          "limits",
          "unit",
          "centre",
          "decision",
          "uncertainty",
          "temperature",
          "prior",
          "readiness",
          "drawing",
          "sampled-every",
          "order",
          "split-by",
          "plan",
          "confirm",
          "first-off",
          "sampling",
          "challenge-every",
          "size-classes",
          "undersize",
          "oversize",
          "watches");
  static final Keys LIMITS = Keys.of("limits", "min", "max");
  static final Keys DECISION = Keys.of("decision", "guard", "proven", "for");
  static final Keys GUARD =
      Keys.of("guard", "times", "lower", "upper").refusing("uncertainty", UNCERTAINTY_STANDS_THERE);
  static final Keys PROVEN =
      Keys.of("proven", "at").refusing("standard-uncertainty", UNCERTAINTY_STANDS_THERE);
  static final Keys UNCERTAINTY = Keys.of("uncertainty", "U", "k", "budget");
  static final Keys COMPONENT =
      Keys.of(
          "component",
          "name",
          "U",
          "k",
          "standard",
          "within",
          "shape",
          "sensitivity",
          "s",
          "readings",
          "mean-of",
          "step",
          "degrees-of-freedom");
  static final Keys TEMPERATURE =
      Keys.of("temperature", "range", "difference", "part", "ring", "gauge", "within", "correct");
  static final Keys CORRECT = Keys.of("correct", "thermometer", "difference", "oldest");
  static final Keys PRIOR = Keys.of("prior", "mean", "sigma");
  static final Keys READINESS = Keys.of("readiness", "ratio", "steps", "tolerance");
  static final Keys OUT_OF_LIMIT =
      Keys.of("out-of-limit", "disposition", "action", "stop", "watch-only-until");
  static final Keys WATCH =
      Keys.of(
          "watch",
          "forecast",
          "run-on-one-side",
          "beyond",
          "trend",
          "alternating",
          "near-centre",
          "both-sides",
          "repeats",
          "ewma",
          "cusum",
          "moving-range",
          "spread",
          "step",
          "drift",
          "subgroup",
          "acceptance",
          "pre-control",
          "capability",
          "form-capability",
          "tool-offset");
  static final Keys FORECAST =
      Keys.of(
          "forecast",
          "id",
          "hold-within",
          "alert-within",
          "lead",
          "successive",
          "minimum-bores",
          "probability",
          "sigma",
          "slope-prior",
          "stop",
          "watch-only-until");
  static final Keys SLOPE_PRIOR =
      Keys.of("slope-prior", "lives", "slope", "error", "over", "minimum-bores");
  static final Keys RUN_ON_ONE_SIDE =
      Keys.of("run-on-one-side", "id", "bores", "action", "stop", "watch-only-until");

  static final Keys PLAN =
      Keys.of("plan", "depths", "angles", "inputs", "size", "follow", "time", "form");
  static final Keys FORM =
      Keys.of(
          "form",
          "ovality",
          "roundness",
          "lobing",
          "taper",
          "barrel",
          "hourglass",
          "bell-mouth",
          "SR",
          "SQ",
          "repeatability",
          "at",
          "action",
          "stop",
          "watch-only-until");
  static final Keys CONFIRM = Keys.of("confirm", "readings", "span", "gross", "time");
  static final Keys RING =
      Keys.of("ring", "id", "size", "uncertainty", "certificate", "calibration-due");
  static final Keys CERTIFIED = Keys.of("certified", "U", "k");
  static final Keys GAUGE =
      Keys.of(
          "gauge",
          "id",
          "head",
          "from",
          "to",
          "resolution",
          "repeatability",
          "ring-check",
          "calibration-due",
          "believe",
          "which",
          "soak");
  static final Keys WHICH = Keys.of("which", "by", "margin", "order");
  static final Keys BELIEVE =
      Keys.of("believe", "head-range", "window", "other-unit", "digits", "bounce");
  static final Keys WINDOW = Keys.of("window", "within", "then");
  static final Keys DIGITS = Keys.of("digits", "decimals", "then");
  static final Keys BOUNCE = Keys.of("bounce", "within", "then");
  static final Keys RING_CHECK =
      Keys.of(
          "ring-check",
          "ring",
          "error-limit",
          "readings",
          "every-bores",
          "every",
          "good",
          "of",
          "told-by",
          "mastered-by",
          "by-size");
  static final Keys MARK = Keys.of("mark", "input", "status");
  static final Keys BY_SIZE = Keys.of("by-size", "within", "clear");

  static final Keys BEYOND =
      Keys.of(
          "beyond",
          "id",
          "bores",
          "of",
          "sigmas",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys TREND = Keys.of("trend", "id", "bores", "action", "stop", "watch-only-until");
  static final Keys ALTERNATING =
      Keys.of("alternating", "id", "bores", "action", "stop", "watch-only-until");
  static final Keys NEAR_CENTRE =
      Keys.of(
          "near-centre",
          "id",
          "bores",
          "sigmas",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys BOTH_SIDES =
      Keys.of(
          "both-sides",
          "id",
          "bores",
          "sigmas",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys REPEATS =
      Keys.of(
          "repeats", "id", "bores", "scatter", "resolution", "action", "stop", "watch-only-until");
  static final Keys EWMA =
      Keys.of(
          "ewma",
          "id",
          "weight",
          "limit",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys CUSUM =
      Keys.of(
          "cusum",
          "id",
          "slack",
          "limit",
          "head-start",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");

  static final Keys MOVING_RANGE =
      Keys.of(
          "moving-range",
          "id",
          "sigmas",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys SPREAD =
      Keys.of(
          "spread",
          "id",
          "slack",
          "limit",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys STEP =
      Keys.of(
          "step",
          "id",
          "bores",
          "sigmas",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys DRIFT =
      Keys.of("drift", "id", "bores", "probability", "wear", "action", "stop", "watch-only-until");
  static final Keys SUBGROUP =
      Keys.of(
          "subgroup",
          "id",
          "bores",
          "of",
          "sigmas",
          "sigma",
          "wear",
          "baseline",
          "action",
          "stop",
          "watch-only-until");
  static final Keys ACCEPTANCE =
      Keys.of(
          "acceptance",
          "id",
          "bores",
          "sigma",
          "beyond",
          "risk",
          "action",
          "stop",
          "watch-only-until");
  static final Keys PRE_CONTROL =
      Keys.of("pre-control", "id", "greens", "action", "stop", "watch-only-until");
  static final Keys TOOL_OFFSET =
      Keys.of(
          "tool-offset",
          "id",
          "step",
          "on",
          "positive",
          "sigma",
          "minimum-bores",
          "proof-bores",
          "action",
          "stop",
          "watch-only-until");
  static final Keys CAPABILITY = Keys.of("capability", "id", "confidence", "window");
  static final Keys FORM_CAPABILITY = Keys.of("form-capability", "id", "of", "confidence");
  static final Keys FIRST_OFF = Keys.of("first-off", "bores", "zone", "parts", "after");
  static final Keys SAMPLING =
      Keys.of("sampling", "every", "late", "time", "also", "action", "stop", "watch-only-until");
  static final Keys SIZE_CLASS = Keys.of("size-class", "name", "to");
  static final Keys POOL = Keys.of("pool", "id", "members", "slope", "watches");
  static final Keys MEMBER = Keys.of("member", "feature", "sigma");
  static final Keys POOL_WATCH =
      Keys.of(
          "pool-watch",
          "beyond",
          "trend",
          "alternating",
          "near-centre",
          "both-sides",
          "repeats",
          "ewma",
          "cusum",
          "moving-range",
          "spread",
          "step",
          "subgroup");

  static final List<Keys> ALL =
      List.of(
          FILE,
          FEATURE,
          LIMITS,
          DECISION,
          GUARD,
          PROVEN,
          UNCERTAINTY,
          COMPONENT,
          TEMPERATURE,
          CORRECT,
          PRIOR,
          READINESS,
          OUT_OF_LIMIT,
          WATCH,
          FORECAST,
          SLOPE_PRIOR,
          RUN_ON_ONE_SIDE,
          PLAN,
          FORM,
          CONFIRM,
          RING,
          CERTIFIED,
          GAUGE,
          WHICH,
          RING_CHECK,
          MARK,
          BY_SIZE,
          BELIEVE,
          WINDOW,
          DIGITS,
          BOUNCE,
          BEYOND,
          TREND,
          ALTERNATING,
          NEAR_CENTRE,
          BOTH_SIDES,
          REPEATS,
          EWMA,
          CUSUM,
          MOVING_RANGE,
          SPREAD,
          STEP,
          DRIFT,
          SUBGROUP,
          ACCEPTANCE,
          PRE_CONTROL,
          CAPABILITY,
          FORM_CAPABILITY,
          TOOL_OFFSET,
          FIRST_OFF,
          SAMPLING,
          SIZE_CLASS,
          POOL,
          MEMBER,
          POOL_WATCH);

  private RulesKeys() {}
}
