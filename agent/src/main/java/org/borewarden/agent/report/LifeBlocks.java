package org.borewarden.agent.report;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import org.borewarden.rules.judge.Verdict;
import org.borewarden.rules.measure.Unit;
import org.borewarden.rules.part.Feature;
import org.borewarden.rules.stat.Capability;

/** What a report says of the tool lives. */
final class LifeBlocks {
  /** The most bores that are listed one by one; all stand in the CSV and the spreadsheet. */
  static final int MOST_LISTED = 60;

  private final Gathering gathered;
  private final Texts texts;
  private final Sizes sizes;
  private final Times times;

  LifeBlocks(Gathering gathered, Texts texts) {
    this.gathered = gathered;
    this.texts = texts;
    this.sizes = new Sizes(gathered.wanted);
    this.times = new Times(gathered.wanted);
  }

  /**
   * The bores of a life in the span, by verdict.
   *
   * @param by each verdict's
   * @param takenBack those that were taken back, which stand in {@code by} no more
   */
  record Counts(Map<Verdict, Long> by, long takenBack) {
    long all() {
      return by.values().stream().mapToLong(Long::longValue).sum() + takenBack;
    }

    long of(Verdict... verdicts) {
      return Stream.of(verdicts).mapToLong(v -> by.getOrDefault(v, 0L)).sum();
    }
  }

  Counts counts(ToolLife life) {
    Map<Verdict, Long> by = new EnumMap<>(Verdict.class);
    long gone = 0;
    for (LifeBore bore : life.bores) {
      if (gathered.wanted.holds(bore.at())) {
        if (gathered.lives.takenBack(bore.seq()).isPresent()) {
          gone++;
        } else {
          by.merge(bore.verdict(), 1L, Long::sum);
        }
      }
    }
    return new Counts(by, gone);
  }

  /** One row a life: what was judged in the span. */
  Block.Table overview() {
    List<List<Cell>> rows = new ArrayList<>();
    for (ToolLife life : gathered.lives.lives()) {
      Counts counts = counts(life);
      rows.add(
          List.of(
              Cell.of(name(life)),
              Cell.of(tool(life)),
              Cell.of(counts.all()),
              Cell.of(counts.of(Verdict.WITHIN)),
              Cell.of(counts.of(Verdict.UNDERSIZE)),
              Cell.of(counts.of(Verdict.OVERSIZE)),
              Cell.of(counts.of(Verdict.UNDECIDED_LOW, Verdict.UNDECIDED_HIGH)),
              Cell.of(counts.of(Verdict.WITHHELD, Verdict.CONFIRMING)),
              Cell.of(counts.takenBack())));
    }
    return new Block.Table(
        texts.of("overview"),
        Stream.of(
                "feature",
                "tool-life",
                "bores",
                "within",
                "undersize",
                "oversize",
                "undecided",
                "withheld",
                "taken-back")
            .map(column -> texts.of("column." + column))
            .toList(),
        rows);
  }

  void add(ToolLife life, List<Block> into) {
    into.add(new Block.Heading(3, name(life) + " - " + tool(life)));
    into.add(
        new Block.Chart(
            RunChart.of(life, gathered.wanted, gathered.lives, texts), texts.of("chart.legend")));
    List<LifeBore> counting =
        life.bores.stream()
            .filter(LifeBore::counts)
            .filter(bore -> gathered.lives.takenBack(bore.seq()).isEmpty())
            .toList();
    facts(life, Indices.of(life.feature, counting), into);
    for (ToolLife.Offset offset : life.offsets) {
      String change =
          sizes.signed(Sizes.whole(offset.diameter(), unit(life), 3)) + " " + unit(life).symbol();
      into.add(
          new Block.Paragraph(
              "note", texts.of("offset", times.of(offset.at()), change, offset.by())));
    }
    exceptions(life, into);
  }

  private void facts(ToolLife life, Indices indices, List<Block> into) {
    Feature feature = life.feature;
    List<List<String>> facts = new ArrayList<>();
    facts.add(List.of(texts.of("limits"), limits(life)));
    facts.add(
        List.of(texts.of("life"), life.whole() ? texts.of("life.whole") : texts.of("life.part")));
    facts.add(List.of(texts.of("counting"), Long.toString(indices.bores())));
    boolean one = feature.limits().lower().isEmpty() || feature.limits().upper().isEmpty();
    indices.cp().ifPresent(i -> facts.add(List.of("Cp", index(i, true))));
    indices.cpk().ifPresent(i -> facts.add(List.of("Cpk", index(i, true))));
    indices.pp().ifPresent(i -> facts.add(List.of("Pp", index(i, !indices.drifts()))));
    indices.ppk().ifPresent(i -> facts.add(List.of("Ppk", index(i, !indices.drifts()))));
    room("room-start", indices.roomAtStart(), facts);
    room("room-end", indices.roomAtEnd(), facts);
    into.add(new Block.Facts(facts));
    List<String> cautions = new ArrayList<>();
    indices.why().ifPresent(why -> cautions.add(texts.of("indices." + why, Indices.FEWEST)));
    if (indices.why().isEmpty()) {
      if (!life.whole()) {
        cautions.add(texts.of("indices.partial"));
      }
      if (indices.drifts()) {
        cautions.add(texts.of("indices.drifts"));
      }
      if (one) {
        cautions.add(texts.of("indices.one-limit"));
      }
      cautions.add(texts.of("indices." + indices.shape()));
    }
    into.add(
        new Block.Paragraph(cautions.size() > 1 ? "caution" : "note", String.join(" ", cautions)));
  }

  private void room(String key, OptionalDouble room, List<List<String>> facts) {
    room.ifPresent(
        value -> facts.add(List.of(texts.of(key), texts.of("room", sizes.statistic(value)))));
  }

  private String index(Capability.Index index, boolean interval) {
    return interval
        ? texts.of(
            "index.interval",
            sizes.statistic(index.value()),
            sizes.statistic(index.low()),
            sizes.statistic(index.high()))
        : sizes.statistic(index.value());
  }

  private String limits(ToolLife life) {
    Feature feature = life.feature;
    Unit gauges = life.bores.get(0).bore().unit();
    return texts.of(
        "limits.words",
        sizes.shown(feature.nominal(), gauges),
        feature.limits().lower().map(l -> sizes.shown(l, gauges)).orElse(texts.of("none")),
        feature.limits().upper().map(l -> sizes.shown(l, gauges)).orElse(texts.of("none")));
  }

  private Unit unit(ToolLife life) {
    return sizes.unit(life.bores.get(0));
  }

  private void exceptions(ToolLife life, List<Block> into) {
    List<LifeBore> all =
        life.bores.stream()
            .filter(bore -> gathered.wanted.holds(bore.at()))
            .filter(
                bore ->
                    bore.verdict() != Verdict.WITHIN
                        || bore.again()
                        || bore.judged().beside().piece().isPresent())
            .toList();
    if (all.isEmpty()) {
      into.add(new Block.Paragraph("good", texts.of("exceptions.none")));
      return;
    }
    List<List<Cell>> rows = new ArrayList<>();
    for (LifeBore bore : all.subList(0, Math.min(MOST_LISTED, all.size()))) {
      rows.add(
          List.of(
              Cell.of(times.of(bore.at())),
              Cell.of(name(life)),
              Cell.of(partOf(bore)),
              Cell.of(texts.of("verdict." + bore.verdict().key())),
              Cell.of(BoreRows.sure(bore, sizes, texts.of("unstated"))),
              Cell.of(
                  sizes.size(bore),
                  sizes.number(sizes.size(bore)) + " " + sizes.unit(bore).symbol()),
              Cell.of(remark(bore))));
    }
    into.add(
        new Block.Table(
            texts.of("exceptions"),
            Stream.of("time", "feature", "part", "verdict", "sure", "size", "remark")
                .map(column -> texts.of("column." + column))
                .toList(),
            rows));
    if (all.size() > MOST_LISTED) {
      into.add(new Block.Paragraph("note", texts.of("exceptions.more", all.size() - MOST_LISTED)));
    }
  }

  private String remark(LifeBore bore) {
    List<String> remarks = new ArrayList<>();
    if (bore.again()) {
      remarks.add(texts.of("remark.again"));
    }
    gathered
        .lives
        .takenBack(bore.seq())
        .ifPresent(gone -> remarks.add(texts.of("remark.taken-back", gone.reason(), gone.by())));
    gathered
        .lives
        .corrected(bore.seq())
        .ifPresent(other -> remarks.add(BoreRows.corrected(other, texts)));
    Stream.of(BoreRows.beside(bore, texts), BoreRows.cautions(bore, texts))
        .filter(words -> !words.isEmpty())
        .forEach(remarks::add);
    return String.join("; ", remarks);
  }

  private String partOf(LifeBore bore) {
    return bore.bore().part() + gathered.lives.serial(bore).map(s -> " - " + s).orElse("");
  }

  String name(ToolLife life) {
    return life.feature.id() + (life.stream.isEmpty() ? "" : " (" + life.stream + ")");
  }

  String tool(ToolLife life) {
    String tool =
        life.begun
            .flatMap(ToolLife.Begun::tool)
            .or(() -> life.feature.tool())
            .map(id -> texts.of("tool", id) + " ")
            .orElse("");
    String from =
        life.begun
            .map(begun -> texts.of("from", times.of(begun.at())))
            .orElse(texts.of("from.unknown"));
    String to = life.ended.map(at -> " " + texts.of("until", times.of(at))).orElse("");
    return tool + from + to;
  }

  /** What the watches saw, of all lives. */
  Block.Table findings() {
    List<List<Cell>> rows = new ArrayList<>();
    for (ToolLife life : gathered.lives.lives()) {
      for (ToolLife.Seen seen : life.findings.values()) {
        String action =
            seen.wouldHaveHeld()
                ? texts.of("would-have-held")
                : texts.of(
                    "action." + seen.finding().action().level().name().toLowerCase(Locale.ROOT));
        rows.add(
            List.of(
                Cell.of(times.of(seen.first())),
                Cell.of(times.of(seen.last())),
                Cell.of(seen.times()),
                Cell.of(name(life)),
                Cell.of(texts.word("reason", seen.finding().reason().key())),
                Cell.of(seen.finding().words()),
                Cell.of(action)));
      }
    }
    return new Block.Table(
        texts.of("findings"),
        Stream.of("first", "last", "times", "feature", "what", "words", "action")
            .map(column -> texts.of("column." + column))
            .toList(),
        rows);
  }
}
