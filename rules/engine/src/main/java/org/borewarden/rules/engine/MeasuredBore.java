package org.borewarden.rules.engine;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.bore.Bore;
import org.borewarden.rules.bore.Form;
import org.borewarden.rules.bore.FormResult;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.bore.Span;
import org.borewarden.rules.bore.Taken;
import org.borewarden.rules.judge.Judgement;
import org.borewarden.rules.judge.Places;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.FormLimit;
import org.borewarden.rules.part.FormRules;
import org.borewarden.rules.part.Measuring;
import org.borewarden.rules.part.Place;
import org.borewarden.rules.part.Plan;
import org.borewarden.rules.part.SizeRule;

/** What became of the readings of a bore: its size, its form and how it came about. */
final class MeasuredBore {
  private MeasuredBore() {}

  static Bore of(Work work, Feature feature, OpenBore open, Span span, Judgement judgement) {
    Measuring measuring = feature.measuring();
    Length value = value(feature, span, judgement);
    List<Place> places = measuring.plan().map(Plan::places).orElse(List.of());
    List<Taken> taken =
        open.taken().stream()
            .map(
                e ->
                    new Taken(
                        places.isEmpty() ? "" : places.get(e.place()).key(),
                        e.seq(),
                        e.value(),
                        e.counts()))
            .toList();
    boolean whole = !places.isEmpty() && open.settled().size() == places.size();
    List<Length> sizes = open.settled().values().stream().map(Span::low).toList();
    List<FormResult> form =
        whole
            ? measuring
                .plan()
                .flatMap(Plan::form)
                .map(r -> form(r, places, sizes))
                .orElse(List.of())
            : List.of();
    Measured measured =
        new Measured(
            measuring.plan().map(Plan::size).orElse(SizeRule.EVERY),
            span,
            followed(measuring, span, sizes),
            taken,
            form,
            open.notes());
    return new Bore(
        feature.id(),
        open.part(),
        value,
        open.unit(),
        decimals(value, open),
        open.seqs(),
        open.context(),
        Optional.of(measured),
        Truths.trace(work, feature));
  }

  /** The end that names the verdict; within, the one with less room to its limit. */
  private static Length value(Feature feature, Span span, Judgement judgement) {
    return switch (judgement.verdict()) {
      case UNDERSIZE, UNDECIDED_LOW -> span.low();
      case OVERSIZE, UNDECIDED_HIGH -> span.high();
      case WITHIN, WITHHELD, CONFIRMING -> {
        Optional<Length> below = feature.limits().lower().map(span.low()::minus);
        Optional<Length> above = feature.limits().upper().map(v -> v.minus(span.high()));
        boolean low = above.isEmpty() || below.map(b -> b.compareTo(above.get()) < 0).orElse(false);
        yield low ? span.low() : span.high();
      }
    };
  }

  /** A mean may need one digit more than the gauge shows. */
  private static int decimals(Length value, OpenBore open) {
    long step = open.unit().picometres();
    for (int i = 0; i < open.decimals(); i++) {
      step /= 10;
    }
    return step > 1 && value.picometres() % step != 0 ? open.decimals() + 1 : open.decimals();
  }

  private static Length followed(Measuring measuring, Span span, List<Length> sizes) {
    Optional<Plan> plan = measuring.plan().filter(p -> p.size() == SizeRule.EVERY);
    if (plan.isEmpty()) {
      return span.low();
    }
    return switch (plan.get().follow()) {
      case SMALLEST -> span.low();
      case LARGEST -> span.high();
      case MEAN -> sizes.isEmpty() ? span.low() : Span.mean(sizes).low();
    };
  }

  private static List<FormResult> form(FormRules rules, List<Place> places, List<Length> sizes) {
    Form form = new Form(places, sizes);
    List<FormResult> results = new ArrayList<>();
    for (FormLimit limit : rules.limits()) {
      results.add(Places.judge(rules, limit, form.of(limit.kind())));
    }
    return results;
  }
}
