package org.borewarden.rules.engine;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.borewarden.rules.Lengths;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Action;
import org.borewarden.rules.part.Asked;
import org.borewarden.rules.part.Assurance;
import org.borewarden.rules.part.BeliefCheck;
import org.borewarden.rules.part.BeliefCheck.Outcome;
import org.borewarden.rules.part.ChartScale;
import org.borewarden.rules.part.ChartTest;
import org.borewarden.rules.part.Confirmation;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Drawing;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Follow;
import org.borewarden.rules.part.FormKind;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.GaugeRules;
import org.borewarden.rules.part.Head;
import org.borewarden.rules.part.Limits;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.PartOrder;
import org.borewarden.rules.part.Party;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.Pool;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.part.RingChecks;
import org.borewarden.rules.part.RingSigns;
import org.borewarden.rules.part.RuleSet;
import org.borewarden.rules.part.ShiftRules;
import org.borewarden.rules.part.SizeRule;
import org.borewarden.rules.part.StopKind;
import org.borewarden.rules.part.Streams;
import org.borewarden.rules.part.WatchRule;
import org.borewarden.rules.part.Which;
import org.borewarden.rules.uncertainty.Expansion;

/**
 * Rules in a story's words: {@code seat,wear,tool=7} is the bearing seat of bore-1 (62 +30/0 um)
 * with a wear forecast; {@code warm} of aluminium and proven, corrected to 20 degC; {@code bush}
 * the bush of bore-2 (40 +25/0 um), both in cell-4. {@code gauge=bore-1} gives a feature to the
 * other gauge, and {@code which,bore-1,size=0.5} or {@code which,bore-1,sequence=seat+bush} says
 * how one knows which of them a reading is of.
 */
final class ShopRules {
  private static final Optional<ShiftRules.FirstOff> NO_FIRST_OFF = Optional.empty();
  private static final Optional<ShiftRules.Sampling> NO_SAMPLING = Optional.empty();
  private static final Action ALERT = action(Action.Level.ALERT, Optional.empty());

  private static final DecisionRule PROVEN = new DecisionRule.Proven(0.95, Lengths.of("1.5 um"));

  /** Aluminium between 18 and 32 degC; a temperature counts for ten minutes. */
  private static final Assurance WARM =
      new Assurance(
          Party.SUPPLIER,
          Optional.of(
              new Expansion(
                  23.6e-6,
                  11.5e-6,
                  11.5e-6,
                  1e-6,
                  18,
                  32,
                  2,
                  Optional.of(new Expansion.Correction(0.5, 0.2, Duration.ofMinutes(10))))),
          Optional.empty(),
          Asked.USUAL,
          Drawing.ISO);

  /** Two events of a story are a second apart. */
  private static final List<BeliefCheck> BELIEVE =
      List.of(
          new BeliefCheck.Bounce(Duration.ofMillis(1_500), Outcome.REJECT),
          new BeliefCheck.OtherUnit(Outcome.REJECT),
          new BeliefCheck.HeadRange(Outcome.WITHHOLD),
          new BeliefCheck.Window(Lengths.of("1 mm"), Outcome.WITHHOLD),
          new BeliefCheck.Digits(3, Outcome.CAUTION));

  private ShopRules() {}

  static RuleSet of(String revision, List<String> features) {
    List<GaugeRules> gauges =
        features.stream()
            .filter(f -> f.contains(",ring") || f.contains(",believe") || f.startsWith("which,"))
            .map(ShopRules::gauge)
            .toList();
    Ring ring =
        new Ring(
            "R40",
            Lengths.of("40.0022 mm"),
            Optional.of(Lengths.of("0.8 um")),
            Optional.of("K-40"),
            Optional.empty());
    return new RuleSet(
        revision,
        features.stream().filter(ShopRules::isFeature).map(ShopRules::feature).toList(),
        gauges.isEmpty() ? List.of() : List.of(ring),
        gauges,
        features.stream().filter(f -> f.startsWith("pool")).map(ShopRules::pool).toList(),
        features.stream()
            .filter(ShopRules::isFeature)
            .map(ShopRules::shift)
            .filter(
                s -> !s.equals(new ShiftRules(s.feature(), NO_FIRST_OFF, NO_SAMPLING, List.of())))
            .toList());
  }

  private static boolean isFeature(String text) {
    return !text.startsWith("pool") && !text.startsWith("which,");
  }

  /**
   * {@code pool,sigma=0.9}: seat and bush, cut by one tool, S15 of the scenarios; {@code common}:
   * with one slope.
   */
  private static Pool pool(String text) {
    List<String> words = Arrays.asList(text.split(",", -1));
    Length sigma = Lengths.of(option(words, "sigma").orElseThrow() + " um");
    return new Pool(
        words.get(0),
        List.of(new Pool.Member("seat", sigma), new Pool.Member("bush", sigma)),
        List.of(
            new WatchRule.Chart(
                "by-turns", new ChartTest.Alternating(14), new ChartScale.Pooled(), ALERT),
            new WatchRule.Chart(
                "far", new ChartTest.Beyond(1, 1, 3), new ChartScale.Pooled(), ALERT)),
        words.contains("common"));
  }

  /**
   * {@code first-off=2x8+3}: two bores within 8 um of the centre, three parts may be cut meanwhile;
   * {@code sampling=5+2}: one in five parts, two late ({@code time=PT30M} with a time), also after
   * a tool change and at both ends of a batch; {@code classes}: A to +10 um, B to +20 um.
   */
  private static ShiftRules shift(String text) {
    List<String> words = Arrays.asList(text.split(",", -1));
    Length nominal = words.get(0).equals("seat") ? Lengths.of("62 mm") : Lengths.of("40 mm");
    Optional<ShiftRules.FirstOff> firstOff =
        option(words, "first-off")
            .map(o -> o.split("[x+]", -1))
            .map(
                o ->
                    new ShiftRules.FirstOff(
                        Integer.parseInt(o[0]),
                        Lengths.of(o[1] + " um"),
                        Integer.parseInt(o[2]),
                        Set.of(ShiftRules.After.values())));
    Optional<ShiftRules.Sampling> sampling =
        option(words, "sampling")
            .map(o -> o.split("\\+", -1))
            .map(
                o ->
                    new ShiftRules.Sampling(
                        Integer.parseInt(o[0]),
                        Integer.parseInt(o[1]),
                        option(words, "time").map(Duration::parse),
                        Set.of(ShiftRules.Also.values()),
                        action(Action.Level.HOLD, Optional.empty())));
    List<ShiftRules.SizeClass> classes =
        words.contains("classes")
            ? List.of(
                new ShiftRules.SizeClass("A", nominal.plus(Lengths.of("10 um"))),
                new ShiftRules.SizeClass("B", nominal.plus(Lengths.of("20 um"))))
            : List.of();
    return new ShiftRules(
        words.get(0), firstOff, sampling, classes, option(words, "challenge").map(Duration::parse));
  }

  /** S10 of the scenarios: r 1 um, s_rep 0.6 um, E 2 um, three readings. */
  private static GaugeRules gauge(String text) {
    List<String> words = Arrays.asList(text.split(",", -1));
    return new GaugeRules(
        words.get(0).equals("which") ? words.get(1) : gaugeOf(words),
        Optional.of(Head.TWO_POINT),
        words.contains("believe") ? Optional.of(Lengths.of("30 mm")) : Optional.empty(),
        words.contains("believe") ? Optional.of(Lengths.of("70 mm")) : Optional.empty(),
        Optional.of(Lengths.of("1 um")),
        Optional.of(Lengths.of("0.6 um")),
        checks(words),
        Optional.empty(),
        words.contains("believe") ? BELIEVE : List.of(),
        option(words, "size")
            .<Which>map(margin -> new Which.BySize(Lengths.of(margin + " mm")))
            .filter(which -> words.get(0).equals("which"))
            .or(
                () ->
                    option(words, "sequence")
                        .<Which>map(ids -> new Which.InSequence(List.of(ids.split("\\+", -1)))))
            .or(
                () ->
                    words.contains("by-cell") ? Optional.of(new Which.ByCell()) : Optional.empty()),
        option(words, "soak").map(Duration::parse));
  }

  private static String gaugeOf(List<String> words) {
    return option(words, "gauge").orElse(words.get(0).equals("seat") ? "bore-1" : "bore-2");
  }

  private static Optional<RingChecks> checks(List<String> words) {
    return words.stream().noneMatch(word -> word.equals("ring") || word.startsWith("ring="))
        ? Optional.empty()
        : Optional.of(
            new RingChecks(
                "R40",
                Lengths.of("2 um"),
                3,
                option(words, "ring")
                    .map(n -> OptionalInt.of(Integer.parseInt(n)))
                    .orElse(OptionalInt.empty()),
                Optional.of(Duration.ofHours(8)),
                2,
                3,
                signs(words)));
  }

  /**
   * {@code told=R} is an input of the ring, {@code mastered=Z} a status after setting, {@code
   * near=20} recognises the ring within so many micrometres.
   */
  private static RingSigns signs(List<String> words) {
    return new RingSigns(
        option(words, "told")
            .map(input -> new RingSigns.Mark(Optional.of(input), Optional.empty())),
        option(words, "mastered")
            .map(status -> new RingSigns.Mark(Optional.empty(), Optional.of(status))),
        option(words, "near")
            .map(um -> new RingSigns.Near(Lengths.of(um + " um"), Lengths.of("0.5 mm"))));
  }

  /** {@code plan=2x3} is two depths by three angles; {@code form=8} limits the ovality, um. */
  private static Measuring measuring(List<String> words) {
    Optional<Plan> plan =
        option(words, "plan")
            .map(
                text -> {
                  List<Place> places = new ArrayList<>();
                  for (String depth :
                      List.of("entry", "mid", "end").subList(0, text.charAt(0) - '0')) {
                    for (int angle : List.of(0, 90, 45).subList(0, text.charAt(2) - '0')) {
                      places.add(new Place(depth, angle, Optional.empty()));
                    }
                  }
                  return new Plan(
                      places,
                      option(words, "size").map(SizeRule::valueOf).orElse(SizeRule.EVERY),
                      Follow.SMALLEST,
                      Duration.ofMinutes(2),
                      option(words, "form").map(ShopRules::form));
                });
    // S18 of the scenarios.
    Optional<Confirmation> confirmation =
        words.contains("confirm")
            ? Optional.of(
                new Confirmation(3, Lengths.of("2 um"), Lengths.of("5 um"), Duration.ofMinutes(1)))
            : Optional.empty();
    return new Measuring(plan, confirmation);
  }

  private static FormRules form(String most) {
    return new FormRules(
        List.of(new FormLimit(FormKind.OVALITY, Lengths.of(most + " um"))),
        Optional.empty(),
        0.95,
        ALERT);
  }

  private static Feature feature(String text) {
    List<String> words = Arrays.asList(text.split(",", -1));
    boolean seat = words.get(0).equals("seat");
    Length nominal =
        Lengths.of(option(words, "nominal").map(n -> n + " mm").orElse(seat ? "62 mm" : "40 mm"));
    Length upper = nominal.plus(Lengths.of(seat ? "30 um" : "25 um"));
    Action hold = action(Action.Level.HOLD, option(words, "watch-only"));
    StopKind oversizeStop =
        words.contains("safe-point") ? StopKind.NEXT_SAFE_POINT : StopKind.END_OF_PART;
    return new Feature(
        words.get(0),
        option(words, "number").map(Integer::valueOf).orElse(seat ? 1 : 2),
        "housing-31",
        gaugeOf(words),
        Optional.empty(),
        words.contains("no-cell") ? Optional.empty() : Optional.of("cell-4"),
        option(words, "tool"),
        nominal,
        new Limits(Optional.of(nominal), Optional.of(upper)),
        Unit.MILLIMETRE,
        words.contains("warm") ? PROVEN : new DecisionRule.Simple(),
        words.contains("warm") ? WARM : Assurance.NONE,
        Optional.of(
            option(words, "centre")
                .map(c -> Lengths.of(c + " mm"))
                .orElse(new Length((nominal.picometres() + upper.picometres()) / 2))),
        1,
        new Feature.OutOfLimit(Feature.Disposition.REWORK, hold),
        new Feature.OutOfLimit(
            Feature.Disposition.SCRAP,
            new Action(Action.Level.HOLD, oversizeStop, hold.watchOnlyUntil())),
        watches(words, hold),
        measuring(words),
        new Streams(
            option(words, "order").map(PartOrder::valueOf).orElse(PartOrder.ARRIVAL),
            option(words, "split").stream().map(Streams.By::valueOf).toList()));
  }

  private static List<WatchRule> watches(List<String> words, Action hold) {
    List<WatchRule> watches = new ArrayList<>();
    if (words.contains("wear")) {
      watches.add(
          new WatchRule.Forecast(
              "wear",
              0.95,
              12,
              Optional.of(Lengths.of("1 um")),
              4,
              OptionalInt.of(10),
              OptionalInt.of(4),
              2,
              ALERT,
              hold,
              Optional.empty()));
    }
    option(words, "run")
        .ifPresent(n -> watches.add(new WatchRule.OneSide("run", Integer.parseInt(n), ALERT)));
    return watches;
  }

  private static Optional<String> option(List<String> words, String key) {
    return words.stream()
        .filter(word -> word.startsWith(key + "="))
        .map(word -> word.substring(key.length() + 1))
        .findFirst();
  }

  private static Action action(Action.Level level, Optional<String> watchOnlyUntil) {
    return new Action(level, StopKind.END_OF_PART, watchOnlyUntil);
  }
}
