package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.bore.Tightest;
import org.borewarden.rules.hold.AnswerCode;
import org.borewarden.rules.hold.Condition;
import org.borewarden.rules.hold.Reason;
import org.borewarden.rules.judge.Judge;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Places;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Confirmation;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.SizeRule;
import org.borewarden.rules.reading.PartContext;
import org.borewarden.rules.reading.Reading;

/** From readings to a bore: the plan, the repeat readings, and what ends a bore that lacks some. */
final class Bores {
  static final String TIMER = "measure:";

  /** The note of a bore whose first reading was out and that was confirmed back in. */
  static final String FIRST_OUT = "first-reading-out";

  /** Why a bore ended before it was whole; keys in payloads. */
  enum End {
    TIME_OUT("time-out"),
    NEXT_PART("next-part"),
    ASKED("ended-by-a-person"),
    RESTARTED("restarted"),
    RULES_CHANGED("rules-changed"),
    DISAGREE("readings-disagree");

    private final String key;

    End(String key) {
      this.key = key;
    }
  }

  private Bores() {}

  /** A reading of a feature with a plan or a confirmation. */
  static void take(Work work, Feature feature, Reading reading, Optional<String> note) {
    PartContext context = Judging.context(work, feature);
    Optional<OpenBore> before = open(work, feature);
    if (before.isPresent() && isOther(feature, before.get(), context)) {
      end(work, feature, End.NEXT_PART);
      before = Optional.empty();
    }
    Optional<Plan> plan = feature.measuring().plan();
    boolean named = Shifts.of(work, feature.id()).next().isPresent() || Rounds.again(work, feature);
    if (before.isEmpty() && plan.isPresent() && !named && measuredAlready(work, feature, context)) {
      setAside(work, feature, reading, "beyond-the-plan");
      return;
    }
    OpenBore open =
        before.orElseGet(
            () ->
                OpenBore.begun(
                    Judging.partOf(work, work.feature(feature.id()), context),
                    context,
                    reading.unit()));
    OptionalInt place = place(plan, open, reading);
    if (place.isEmpty()) {
      setAside(work, feature, reading, "no-such-place");
      return;
    }
    if (before.isEmpty() && plan.isPresent()) {
      work.effect(new Effect.TimerSet(TIMER + feature.id(), plan.get().time()));
    }
    int at = place.getAsInt();
    boolean repeats = open.confirming().isPresent() && open.confirming().getAsInt() == at;
    OpenBore more = open.with(at, reading, work.seq(), !repeats).noted(note);
    work.open.put(feature.id(), more);
    settle(work, feature, more, at);
  }

  /** Kept, and counts nowhere; but an out-of-limit value is told all the same. */
  private static void setAside(Work work, Feature feature, Reading reading, String why) {
    work.decide(new Decision.ReadingSetAside(feature.id(), why));
    FeatureState state = work.feature(feature.id());
    Verdict wouldBe = Judge.judge(state.acceptance(), reading.value()).verdict();
    if (wouldBe.isOut()) {
      long part = Judging.partOf(work, state, Judging.context(work, feature));
      Findings.take(work, feature, List.of(Outs.notJudged(feature, part, wouldBe)), List.of());
    }
  }

  private static Optional<OpenBore> open(Work work, Feature feature) {
    return Optional.ofNullable(work.open.get(feature.id()));
  }

  private static boolean isOther(Feature feature, OpenBore open, PartContext context) {
    OptionalLong part = feature.streams().place(context);
    return part.isPresent() && part.getAsLong() != open.part();
  }

  /** The cell says that the part is still the one whose bore is complete. */
  private static boolean measuredAlready(Work work, Feature feature, PartContext context) {
    FeatureState state = work.feature(feature.id());
    return state.bores() > 0
        && !state.lastVerdict().equals(Optional.of(Verdict.WITHHELD))
        && feature.streams().place(context).equals(OptionalLong.of(state.lastPart()));
  }

  private static OptionalInt place(Optional<Plan> plan, OpenBore open, Reading reading) {
    if (plan.isPresent() && plan.get().byInput()) {
      List<Place> places = plan.get().places();
      for (int i = 0; i < places.size(); i++) {
        if (places.get(i).input().equals(reading.input())) {
          return OptionalInt.of(i);
        }
      }
      return OptionalInt.empty();
    }
    if (open.confirming().isPresent()) {
      return open.confirming();
    }
    return open.next().isPresent() ? open.next() : OptionalInt.of(open.firstOpen());
  }

  /** Looks whether the size of a place is known now, and whether the bore is whole then. */
  private static void settle(Work work, Feature feature, OpenBore open, int place) {
    List<Length> values = open.at(place);
    Length last = values.get(values.size() - 1);
    Optional<Confirmation> asks =
        feature.measuring().confirmation().filter(c -> Truths.doubt(work, feature).isEmpty());
    if (asks.isEmpty()) {
      known(work, feature, open.settled(place, Span.of(last), List.of()));
      return;
    }
    Confirmation confirmation = asks.get();
    if (confirmation.isGross(feature.limits(), last)) {
      known(work, feature, open.settled(place, Span.of(last), List.of("gross")));
    } else if (values.size() == 1 && !isOut(work, feature, last)) {
      known(work, feature, open.settled(place, Span.of(last), List.of()));
    } else if (values.size() < confirmation.readings()) {
      confirm(work, feature, open, place, confirmation);
    } else {
      Tightest pair = Tightest.of(values, feature.limits());
      if (pair.apart().isAbove(confirmation.span())) {
        end(work, feature, End.DISAGREE);
      } else {
        boolean out =
            Places.judge(work.feature(feature.id()).acceptance(), pair.mean()).verdict().isOut();
        List<String> note = out ? List.of() : List.of(FIRST_OUT);
        known(work, feature, open.settled(place, pair.mean(), note));
      }
    }
  }

  private static boolean isOut(Work work, Feature feature, Length value) {
    return Judge.judge(work.feature(feature.id()).acceptance(), value).verdict().isOut();
  }

  private static void confirm(
      Work work, Feature feature, OpenBore open, int place, Confirmation confirmation) {
    boolean first = open.confirming().isEmpty();
    work.open.put(feature.id(), open.confirming(place));
    Span span = Span.of(SizeRule.EVERY, open.at(place).stream().map(Span::of).toList());
    Judgement judged = Places.judge(work.feature(feature.id()).acceptance(), span);
    String which = "reading-" + open.at(place).size() + "-of-" + confirmation.readings();
    Judgement confirming = as(judged, Verdict.CONFIRMING, List.of(which));
    work.decide(
        new Decision.BoreJudged(
            feature, MeasuredBore.of(work, feature, open, span, judged), confirming));
    if (first) {
      work.effect(new Effect.TimerSet(TIMER + feature.id(), confirmation.time()));
      feature.cell().ifPresent(cell -> Holding.set(work, cell, measureAgain(feature)));
    }
  }

  private static Condition measureAgain(Feature feature) {
    return new Condition(Reason.MEASURE_AGAIN, Optional.of(feature.id()));
  }

  /** The size of a place is known. */
  private static void known(Work work, Feature feature, OpenBore open) {
    Optional<Plan> plan = feature.measuring().plan();
    int places = plan.map(p -> p.places().size()).orElse(1);
    if (open.settled().size() < places) {
      boolean waited = open(work, feature).map(o -> o.confirming().isPresent()).orElse(false);
      work.open.put(feature.id(), open);
      if (waited) {
        plan.ifPresent(p -> work.effect(new Effect.TimerSet(TIMER + feature.id(), p.time())));
        feature.cell().ifPresent(cell -> Holding.clear(work, cell, measureAgain(feature)));
      }
      return;
    }
    List<Span> sizes = List.copyOf(open.settled().values());
    Span span = Span.of(plan.map(Plan::size).orElse(SizeRule.EVERY), sizes);
    Judgement judgement = Places.judge(work.feature(feature.id()).acceptance(), span);
    close(work, feature);
    Optional<String> doubt = Truths.doubt(work, feature).or(() -> Beliefs.withheld(open.notes()));
    Judgement believed = doubt.map(why -> withheld(judgement, why)).orElse(judgement);
    Bore bore = MeasuredBore.of(work, feature, open, span, judgement);
    Judging.finish(work, feature, bore, believed, judgement.verdict(), List.of());
    feature.cell().ifPresent(cell -> Holding.clear(work, cell, measureAgain(feature)));
  }

  private static void close(Work work, Feature feature) {
    work.open.remove(feature.id());
    work.effect(new Effect.TimerCleared(TIMER + feature.id()));
  }

  /** A bore that lacks readings and gets no more: it is withheld, and what was seen is told. */
  static void end(Work work, Feature feature, End why) {
    Optional<OpenBore> ended = open(work, feature);
    if (ended.isEmpty()) {
      return;
    }
    OpenBore open = ended.get();
    close(work, feature);
    if (open.counting().isEmpty()) {
      return;
    }
    boolean confirming = open.confirming().isPresent();
    Span span = Span.of(SizeRule.EVERY, open.counting().stream().map(Span::of).toList());
    Judgement judged = Places.judge(work.feature(feature.id()).acceptance(), span);
    Judgement withheld = withheld(judged, confirming ? "not-confirmed" : "place-missing");
    Judgement told = as(withheld, Verdict.WITHHELD, List.of(why.key));
    Bore bore = MeasuredBore.of(work, feature, open, span, judged);
    Judging.finish(
        work,
        feature,
        bore,
        told,
        judged.verdict(),
        confirming ? Outs.notConfirmed(feature, bore, judged, why.key) : List.of());
    feature.cell().ifPresent(cell -> Holding.clear(work, cell, measureAgain(feature)));
  }

  /** The value is kept and shown, and an out-of-limit one is not hidden. */
  static Judgement withheld(Judgement judged, String why) {
    List<String> cautions = new ArrayList<>(List.of(why));
    if (judged.verdict().isOut()) {
      cautions.add("would-be-" + judged.verdict().key());
    }
    return as(judged, Verdict.WITHHELD, cautions);
  }

  private static Judgement as(Judgement judged, Verdict verdict, List<String> more) {
    List<String> cautions = new ArrayList<>(judged.cautions());
    cautions.addAll(more);
    return new Judgement(
        verdict,
        Optional.empty(),
        judged.inside(),
        judged.conformity(),
        judged.limits(),
        judged.acceptance(),
        judged.rule(),
        cautions);
  }

  /** The time of a bore, or of its repeat readings, is up. */
  static void timeUp(Work work, String id) {
    Optional.ofNullable(work.features.get(id))
        .ifPresent(state -> end(work, state.feature(), End.TIME_OUT));
  }

  /** Another part is said to be in front of the gauges of a cell. */
  static void partAtGauge(Work work, String cell) {
    for (String id : List.copyOf(work.open.keySet())) {
      Feature feature = work.feature(id).feature();
      boolean other =
          open(work, feature)
              .map(open -> isOther(feature, open, Judging.context(work, feature)))
              .orElse(false);
      if (feature.cell().equals(Optional.of(cell)) && other) {
        end(work, feature, End.NEXT_PART);
      }
    }
  }

  /** The agent started: how much time passed cannot be proved. */
  static void restarted(Work work) {
    for (String id : List.copyOf(work.open.keySet())) {
      end(work, work.feature(id).feature(), End.RESTARTED);
    }
  }

  /** Rules come into force under which a feature is another one, or none. */
  static void rulesChange(Work work, List<Feature> next) {
    for (String id : List.copyOf(work.open.keySet())) {
      Feature feature = work.feature(id).feature();
      if (!next.contains(feature)) {
        end(work, feature, End.RULES_CHANGED);
      }
    }
  }

  /** A person takes the next part though this bore lacks readings. */
  static AnswerCode next(Work work, Order.NextPart order) {
    FeatureState state = work.features.get(order.feature());
    if (state == null) {
      return AnswerCode.NOTHING_HELD;
    }
    boolean open = work.open.containsKey(order.feature());
    end(work, state.feature(), End.ASKED);
    return Rounds.nextPart(work, state.feature()) || open
        ? AnswerCode.ACCEPTED
        : AnswerCode.NOTHING_HELD;
  }

  /** A person measures a place again, the last one where none is named, or the last part again. */
  static AnswerCode again(Work work, Order.MeasureAgain order) {
    FeatureState state = work.features.get(order.feature());
    if (state == null || state.feature().measuring().plan().isEmpty()) {
      return AnswerCode.NOTHING_HELD;
    }
    Feature feature = state.feature();
    Optional<OpenBore> open = open(work, feature);
    List<String> places =
        feature.measuring().plan().orElseThrow().places().stream().map(Place::key).toList();
    int named = order.place().map(places::indexOf).orElse(0);
    if (named < 0) {
      return AnswerCode.MALFORMED;
    }
    if (open.isEmpty()) {
      if (state.bores() == 0) {
        return AnswerCode.NOTHING_HELD;
      }
      work.open.put(
          order.feature(),
          OpenBore.begun(state.lastPart(), Judging.context(work, feature), feature.unit()));
      work.effect(
          new Effect.TimerSet(
              TIMER + feature.id(), feature.measuring().plan().orElseThrow().time()));
      return AnswerCode.ACCEPTED;
    }
    if (open.get().confirming().isPresent()) {
      // Which repeat readings count was fixed before: none of them is chosen away.
      return AnswerCode.ALREADY_PENDING;
    }
    List<OpenBore.Entry> taken = open.get().taken();
    int last = taken.isEmpty() ? 0 : taken.get(taken.size() - 1).place();
    work.open.put(order.feature(), open.get().again(order.place().isPresent() ? named : last));
    return AnswerCode.ACCEPTED;
  }
}
