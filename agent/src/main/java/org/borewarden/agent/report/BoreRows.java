package org.borewarden.agent.report;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.borewarden.rules.bore.Measured;

/** Every bore of a report as a row; what CSV and spreadsheet show. */
final class BoreRows {
  private static final List<String> COLUMNS =
      List.of(
          "time",
          "part-number",
          "feature",
          "part",
          "serial",
          "verdict",
          "also",
          "sure",
          "size",
          "unit",
          "deviation",
          "lower",
          "upper",
          "tool",
          "gauge",
          "cautions",
          "taken-back",
          "again",
          "size-class",
          "concession",
          "rules",
          "journal",
          "seq");

  private final Gathering gathered;
  private final Texts texts;
  private final Sizes sizes;
  private final Times times;
  private final String journal;

  BoreRows(Gathering gathered, Texts texts, String journal) {
    this.gathered = gathered;
    this.texts = texts;
    this.sizes = new Sizes(gathered.wanted);
    this.times = new Times(gathered.wanted);
    this.journal = journal;
  }

  Block.Table table() {
    return new Block.Table(
        texts.of("bores"),
        COLUMNS.stream().map(column -> texts.of("column." + column)).toList(),
        bores().map(this::row).toList());
  }

  private Stream<LifeBore> bores() {
    return gathered.wanted.serial().isPresent()
        ? gathered.ofSerial().stream()
        : gathered.lives.lives().stream()
            .flatMap(life -> life.bores.stream())
            .filter(bore -> gathered.wanted.holds(bore.at()))
            .sorted((a, b) -> Long.compare(a.seq(), b.seq()));
  }

  private List<Cell> row(LifeBore bore) {
    List<Cell> row = new ArrayList<>();
    row.add(Cell.of(times.exact(bore.at())));
    row.add(Cell.of(bore.feature().part()));
    row.add(Cell.of(bore.feature().id()));
    row.add(Cell.of(bore.bore().part()));
    row.add(Cell.of(gathered.lives.serial(bore).orElse("")));
    row.add(Cell.of(texts.of("verdict." + bore.verdict().key())));
    row.add(Cell.of(bore.judgement().also().map(v -> texts.of("verdict." + v.key())).orElse("")));
    row.add(Cell.of(sure(bore, sizes, "")));
    row.add(number(Optional.of(sizes.size(bore))));
    row.add(Cell.of(sizes.unit(bore).symbol()));
    row.add(number(Optional.of(sizes.deviation(bore))));
    row.add(number(sizes.lower(bore)));
    row.add(number(sizes.upper(bore)));
    row.add(Cell.of(bore.bore().context().tool().or(() -> bore.feature().tool()).orElse("")));
    row.add(Cell.of(bore.feature().gauge()));
    row.add(Cell.of(cautions(bore, texts)));
    row.add(Cell.of(gathered.lives.takenBack(bore.seq()).map(Lives.TakenBack::reason).orElse("")));
    row.add(Cell.of(bore.again() ? texts.of("yes") : ""));
    row.add(Cell.of(bore.judged().beside().sizeClass().orElse("")));
    row.add(Cell.of(conceded(bore, texts).orElse("")));
    row.add(Cell.of(bore.rules()));
    row.add(Cell.of(journal));
    row.add(Cell.of(bore.seq()));
    return row;
  }

  private Cell number(Optional<BigDecimal> value) {
    return value.map(size -> Cell.of(size, sizes.number(size))).orElse(Cell.EMPTY);
  }

  /** How sure the verdict is, where an uncertainty is stated. */
  static String sure(LifeBore bore, Sizes sizes, String unstated) {
    return bore.judgement().conformity().isPresent()
        ? sizes.percent(bore.judgement().conformity().getAsDouble())
        : unstated;
  }

  static String cautions(LifeBore bore, Texts texts) {
    return Stream.of(
            bore.judged().beside().piece().map(piece -> piece.kind().key()).stream(),
            bore.judgement().cautions().stream(),
            bore.bore().measured().map(Measured::notes).orElse(List.of()).stream())
        .flatMap(keys -> keys)
        .map(key -> texts.word("caution", key))
        .collect(Collectors.joining("; "));
  }

  /** What a concession says of the bore. */
  private static Optional<String> conceded(LifeBore bore, Texts texts) {
    return bore.judged()
        .beside()
        .conceded()
        .map(
            by ->
                texts.of(
                    "remark.conceded",
                    texts.of("verdict." + by.verdict().key()),
                    by.authority(),
                    by.until()));
  }

  /** Its size class, and what a concession says. */
  static String beside(LifeBore bore, Texts texts) {
    return Stream.concat(
            bore
                .judged()
                .beside()
                .sizeClass()
                .map(name -> texts.of("remark.size-class", name))
                .stream(),
            conceded(bore, texts).stream())
        .collect(Collectors.joining("; "));
  }

  static String corrected(Lives.Corrected corrected, Texts texts) {
    return texts.of(
        "remark.corrected",
        corrected.was().orElse(texts.of("none")),
        corrected.serial(),
        corrected.reason(),
        corrected.by());
  }
}
