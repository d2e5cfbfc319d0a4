package org.borewarden.agent.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.borewarden.rules.engine.Decision;
import org.borewarden.rules.gauge.RingCheck;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Ring;

/** What a report says of holds, gauges, and of what counts nowhere. */
final class OtherBlocks {
  private final Gathering gathered;
  private final Texts texts;
  private final Sizes sizes;
  private final Times times;

  OtherBlocks(Gathering gathered, Texts texts) {
    this.gathered = gathered;
    this.texts = texts;
    this.sizes = new Sizes(gathered.wanted);
    this.times = new Times(gathered.wanted);
  }

  private Block.Table table(String name, Stream<String> columns, List<List<Cell>> rows) {
    return new Block.Table(
        texts.of(name), columns.map(column -> texts.of("column." + column)).toList(), rows);
  }

  Block.Table holds() {
    List<List<Cell>> rows = new ArrayList<>();
    for (Holds.Told hold : gathered.holds.holds()) {
      Optional<Holds.Said> said = hold.said;
      rows.add(
          List.of(
              Cell.of(hold.cell + ", " + hold.number),
              Cell.of(times.of(hold.since)),
              Cell.of(
                  hold.ended
                      .map(at -> times.of(at) + " (" + Times.lasting(hold.since, at) + ")")
                      .orElse(texts.of("stands"))),
              Cell.of(
                  hold.causes.values().stream()
                      .map(
                          cause ->
                              texts.word("reason", cause.reason().key())
                                  + cause.feature().map(f -> " (" + f + ")").orElse(""))
                      .collect(Collectors.joining("; "))),
              Cell.of(String.join(", ", hold.contain)),
              Cell.of(said.map(this::released).orElse("")),
              Cell.of(said.map(Holds.Said::order).map(order -> order.reason()).orElse("")),
              Cell.of(
                  said.map(Holds.Said::order)
                      .map(order -> texts.word("needed", order.needed()))
                      .orElse(""))));
    }
    return table(
        "holds",
        Stream.of("hold", "from", "until", "because", "contain", "released", "why", "needed"),
        rows);
  }

  private String released(Holds.Said said) {
    String second = said.confirmedBy().map(by -> ", " + texts.of("confirmed-by", by)).orElse("");
    String on =
        said.order().evidence().isEmpty()
            ? said.order().trialParts().isPresent()
                ? texts.of("by-trial", said.order().trialParts().getAsInt())
                : texts.of("without-evidence")
            : texts.of("on-evidence", numbers(said.order().evidence()));
    return said.by() + " (" + texts.word("role", said.role()) + ")" + second + ", " + on;
  }

  private static String numbers(List<Long> seqs) {
    return seqs.stream().map(String::valueOf).collect(Collectors.joining(", "));
  }

  Block.Table bypasses() {
    List<List<Cell>> rows = new ArrayList<>();
    for (Holds.Bypassed bypass : gathered.holds.bypasses()) {
      rows.add(
          List.of(
              Cell.of(times.of(bypass.at())),
              Cell.of(bypass.order().cell() + ", " + bypass.order().hold()),
              Cell.of(bypass.order().minutes()),
              Cell.of(String.join(", ", bypass.order().causes())),
              Cell.of(bypass.order().reason()),
              Cell.of(
                  bypass.by()
                      + bypass
                          .confirmedBy()
                          .map(by -> ", " + texts.of("confirmed-by", by))
                          .orElse(""))));
    }
    return table("bypasses", Stream.of("time", "hold", "minutes", "because", "why", "by"), rows);
  }

  Block.Table ringChecks() {
    List<List<Cell>> rows = new ArrayList<>();
    for (Rings.Checked checked : gathered.rings.checks()) {
      RingCheck check = checked.check();
      rows.add(
          List.of(
              Cell.of(times.of(checked.at())),
              Cell.of(checked.gauge()),
              Cell.of(check.ring()),
              Cell.of(checked.ring().flatMap(Ring::certificate).orElse("")),
              Cell.of(sizes.shown(check.certified(), Unit.MILLIMETRE)),
              Cell.of(
                  check.readings().stream()
                      .map(reading -> sizes.shown(reading, Unit.MILLIMETRE))
                      .collect(Collectors.joining(", "))),
              Cell.of(sizes.mean(check.error())),
              Cell.of(texts.of(checked.asLeft() ? "as-left" : "as-found")),
              Cell.of(texts.of(check.passed() ? "passed" : "failed"))));
    }
    return table(
        "ring-checks",
        Stream.of(
            "time",
            "gauge",
            "ring",
            "certificate",
            "certified",
            "readings",
            "error",
            "kind",
            "outcome"),
        rows);
  }

  /** The bores to measure again, of all windows. */
  Block.Table windows() {
    List<List<Cell>> rows = new ArrayList<>();
    for (Rings.Window window : gathered.rings.windows()) {
      for (SuspectWindow.Suspect suspect : window.decision().window().listed()) {
        rows.add(
            List.of(
                Cell.of(window.decision().gauge()),
                Cell.of(times.of(suspect.bore().at())),
                Cell.of(suspect.bore().feature()),
                Cell.of(
                    suspect.bore().part() + suspect.bore().serial().map(s -> " - " + s).orElse("")),
                Cell.of(sizes.shown(suspect.bore().judged().low(), Unit.MILLIMETRE)),
                Cell.of(texts.of("verdict." + suspect.bore().verdict().key())),
                Cell.of(suspect.verdict().map(v -> texts.of("verdict." + v.key())).orElse("")),
                Cell.of(
                    gathered.rings.withdrawn(window)
                        ? texts.of("withdrawn")
                        : texts.of(
                            gathered.rings.measuredSince(window, suspect)
                                ? "measured-since"
                                : "to-measure"))));
      }
    }
    return table(
        "windows",
        Stream.of("gauge", "time", "feature", "part", "size", "verdict", "likely", "state"),
        rows);
  }

  /** Each window in a sentence. */
  List<Block> windowWords() {
    List<Block> words = new ArrayList<>();
    for (Rings.Window window : gathered.rings.windows()) {
      SuspectWindow found = window.decision().window();
      String text =
          texts.of(
              "window",
              window.decision().gauge(),
              found.from().map(check -> times.of(check.at())).orElse(texts.of("unknown")),
              found.until().map(check -> times.of(check.at())).orElse(times.of(window.at())),
              found.bores(),
              found.listed().size());
      String error =
          found.least().isPresent()
              ? " " + texts.of("window.error", mean(found.least()), mean(found.most()))
              : " " + texts.of("window.unbounded");
      String cut = found.cut() ? " " + texts.of("window.cut") : "";
      String gone = gathered.rings.withdrawn(window) ? " " + texts.of("window.withdrawn") : "";
      words.add(new Block.Paragraph("caution", text + error + cut + gone));
    }
    return words;
  }

  private String mean(OptionalDouble picometres) {
    return sizes.mean(picometres.orElse(0));
  }

  Block.Table losses() {
    List<List<Cell>> rows = new ArrayList<>();
    for (Map.Entry<Losses.Lost, Long> lost : gathered.losses.counts().entrySet()) {
      rows.add(
          List.of(
              Cell.of(texts.of("lost." + lost.getKey().kind())),
              Cell.of(lost.getKey().of()),
              Cell.of(texts.word("caution", lost.getKey().why())),
              Cell.of(lost.getValue())));
    }
    return table("losses", Stream.of("what", "of", "why", "times"), rows);
  }

  /** Bores that a person took back, measured again or passed over. */
  Block.Table slips() {
    List<List<Cell>> rows = new ArrayList<>();
    for (Lives.TakenBack gone : gathered.lives.takenBack()) {
      if (gathered.wanted.holds(gone.at())) {
        rows.add(
            List.of(
                Cell.of(times.of(gone.at())),
                Cell.of(texts.of("slip.taken-back", gone.seq())),
                Cell.of(gone.feature()),
                Cell.of(gone.reason()),
                Cell.of(gone.by())));
      }
    }
    for (Losses.Slip slip : gathered.losses.slips()) {
      rows.add(
          List.of(
              Cell.of(times.of(slip.at())),
              Cell.of(texts.of("slip." + slip.kind())),
              Cell.of(slip.feature()),
              Cell.of(slip.detail()),
              Cell.of(slip.by())));
    }
    return table("slips", Stream.of("time", "what", "feature", "why", "by"), rows);
  }

  Block.Table byHand() {
    List<List<Cell>> rows = new ArrayList<>();
    for (Losses.ByHand hand : gathered.losses.byHand()) {
      Decision.AttributeJudged judged = hand.judged();
      String found = judged.found().name().toLowerCase(Locale.ROOT).replace('_', '-');
      rows.add(
          List.of(
              Cell.of(times.of(hand.at())),
              Cell.of(judged.feature().id()),
              Cell.of(judged.part() + judged.context().serial().map(s -> " - " + s).orElse("")),
              Cell.of(texts.of("verdict." + judged.verdict().key())),
              Cell.of(texts.of("found." + found)),
              Cell.of(judged.reason()),
              Cell.of(judged.by())));
    }
    return table(
        "by-hand", Stream.of("time", "feature", "part", "verdict", "found", "why", "by"), rows);
  }
}
