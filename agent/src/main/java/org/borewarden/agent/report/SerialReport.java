package org.borewarden.agent.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.stream.Collectors;
import org.borewarden.rules.bore.Measured;
import org.borewarden.rules.bore.Trace;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.DecisionRule;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.part.Ring;
import org.borewarden.rules.uncertainty.Uncertainty;

/**
 * The measurement record of one part: for each bore the feature in words, the verdict, how sure it
 * is, the reading and the limits, and on what the gauge's word rests, down to the ring's
 * certificate.
 */
final class SerialReport {
  private final Gathering gathered;
  private final Texts texts;
  private final Sizes sizes;
  private final Times times;
  private final List<Block> blocks = new ArrayList<>();

  private SerialReport(Gathering gathered, Texts texts) {
    this.gathered = gathered;
    this.texts = texts;
    this.sizes = new Sizes(gathered.wanted);
    this.times = new Times(gathered.wanted);
  }

  static Report of(Gathering gathered, Texts texts, String journal, Optional<String> notAsWritten) {
    SerialReport report = new SerialReport(gathered, texts);
    notAsWritten.ifPresent(
        first ->
            report.blocks.add(new Block.Paragraph("caution", texts.of("not-as-written", first))));
    gathered.ofSerial().forEach(report::bore);
    report.blocks.add(new Block.Heading(2, texts.of("heading.reading")));
    for (String note : List.of("note.sure", "note.verdict", "note.chain")) {
      report.blocks.add(new Block.Paragraph("note", texts.of(note)));
    }
    String serial = gathered.wanted.serial().orElseThrow();
    String parts =
        gathered.ofSerial().stream()
            .map(bore -> bore.feature().part())
            .distinct()
            .collect(Collectors.joining(", "));
    String foot =
        texts.of(
            "foot",
            journal,
            gathered.lastSeq(),
            gathered.ofSerial().stream()
                .map(LifeBore::rules)
                .distinct()
                .collect(Collectors.joining(", ")));
    return new Report(
        texts.language(),
        texts.of("record.title", serial),
        texts.of("record.under", parts, gathered.wanted.zone()),
        report.blocks,
        foot);
  }

  private void bore(LifeBore bore) {
    Feature feature = bore.feature();
    blocks.add(new Block.Heading(2, texts.of("record.feature", feature.id(), feature.part())));
    List<List<String>> facts = new ArrayList<>();
    facts.add(List.of(texts.of("column.verdict"), verdict(bore)));
    facts.add(
        List.of(texts.of("column.sure"), BoreRows.sure(bore, sizes, texts.of("unstated.long"))));
    facts.add(
        List.of(
            texts.of("column.size"),
            sizes.number(sizes.size(bore)) + " " + sizes.unit(bore).symbol()));
    bore.bore()
        .measured()
        .filter(measured -> measured.taken().size() > 1)
        .ifPresent(
            measured -> facts.add(List.of(texts.of("column.readings"), readings(bore, measured))));
    facts.add(List.of(texts.of("limits"), limits(bore)));
    facts.add(List.of(texts.of("record.rule"), rule(bore)));
    facts.add(
        List.of(
            texts.of("record.when"),
            texts.of("record.when.words", times.whole(bore.at()), bore.bore().part(), bore.seq())));
    bore.bore()
        .context()
        .tool()
        .or(feature::tool)
        .ifPresent(tool -> facts.add(List.of(texts.of("column.tool"), tool)));
    String cautions = BoreRows.cautions(bore, texts);
    if (!cautions.isEmpty()) {
      facts.add(List.of(texts.of("column.cautions"), cautions));
    }
    String beside = BoreRows.beside(bore, texts);
    if (!beside.isEmpty()) {
      facts.add(List.of(texts.of("column.remark"), beside));
    }
    chain(bore, facts);
    blocks.add(new Block.Facts(facts));
    gathered
        .lives
        .takenBack(bore.seq())
        .ifPresent(
            gone ->
                blocks.add(
                    new Block.Paragraph(
                        "caution", texts.of("remark.taken-back", gone.reason(), gone.by()))));
    gathered
        .lives
        .corrected(bore.seq())
        .ifPresent(
            other -> blocks.add(new Block.Paragraph("caution", BoreRows.corrected(other, texts))));
  }

  private String verdict(LifeBore bore) {
    String also =
        bore.judgement()
            .also()
            .map(other -> ", " + texts.of("also", texts.of("verdict." + other.key())))
            .orElse("");
    String again = bore.again() ? ", " + texts.of("remark.again") : "";
    return texts.of("verdict." + bore.verdict().key()) + also + again;
  }

  private String readings(LifeBore bore, Measured measured) {
    return measured.taken().stream()
        .map(
            taken ->
                taken.place()
                    + ": "
                    + sizes.number(Sizes.in(taken.value(), sizes.unit(bore), sizes.decimals(bore)))
                    + (taken.counts() ? "" : " (" + texts.of("counts-not") + ")"))
        .collect(Collectors.joining("; "));
  }

  private String limits(LifeBore bore) {
    Unit unit = bore.bore().unit();
    return texts.of(
        "limits.words",
        sizes.shown(bore.feature().nominal(), unit),
        limit(bore.judgement().limits().lower(), unit),
        limit(bore.judgement().limits().upper(), unit));
  }

  private String limit(Optional<Length> limit, Unit unit) {
    return limit.map(l -> sizes.shown(l, unit)).orElse(texts.of("none"));
  }

  private String rule(LifeBore bore) {
    Unit unit = bore.bore().unit();
    DecisionRule used = bore.judgement().rule();
    String rule =
        used instanceof DecisionRule.Guard
            ? "guard"
            : used instanceof DecisionRule.Proven ? "proven" : "simple";
    String zone =
        texts.of(
            "record.accepted",
            limit(bore.judgement().acceptance().lower(), unit),
            limit(bore.judgement().acceptance().upper(), unit));
    String stated =
        used.stated()
            .map(Uncertainty::expanded)
            .map(expanded -> "; U = " + sizes.shown(expanded, unit))
            .orElse("");
    return texts.of("rule." + rule) + "; " + zone + stated;
  }

  /** Gauge, mastering, ring check, ring, certificate: each with its date. */
  private void chain(LifeBore bore, List<List<String>> facts) {
    facts.add(List.of(texts.of("column.gauge"), bore.feature().gauge()));
    Optional<Trace> trace = bore.bore().trace();
    if (trace.isEmpty()) {
      facts.add(List.of(texts.of("record.chain"), texts.of("record.no-chain")));
      return;
    }
    OptionalLong mastered = trace.get().mastered();
    facts.add(
        List.of(
            texts.of("record.mastered"),
            mastered.isPresent()
                ? gathered
                    .rings
                    .mastering(mastered.getAsLong())
                    .map(m -> texts.of("record.by", times.whole(m.at()), m.by()))
                    .orElse(texts.of("record.entry", mastered.getAsLong()))
                : texts.of("record.not-mastered")));
    Optional<Rings.Checked> check = gathered.rings.check(trace.get().checked());
    facts.add(
        List.of(
            texts.of("record.checked"),
            check
                .map(
                    c ->
                        texts.of(
                            "record.error", times.whole(c.at()), sizes.mean(c.check().error())))
                .orElse(texts.of("record.entry", trace.get().checked()))));
    facts.add(
        List.of(
            texts.of("column.ring"),
            trace.get().ring()
                + check.map(c -> ", " + texts.of("record.certified", certified(c))).orElse("")));
    facts.add(
        List.of(
            texts.of("column.certificate"),
            trace.get().certificate().orElse(texts.of("none"))
                + check
                    .flatMap(Rings.Checked::ring)
                    .flatMap(Ring::calibrationDue)
                    .map(day -> ", " + texts.of("record.due", day))
                    .orElse("")));
  }

  private String certified(Rings.Checked checked) {
    return sizes.shown(checked.check().certified(), Unit.MILLIMETRE)
        + checked
            .ring()
            .flatMap(Ring::uncertainty)
            .map(u -> ", U = " + sizes.shown(u, Unit.MILLIMETRE))
            .orElse("");
  }
}
