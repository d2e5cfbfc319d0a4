package org.borewarden.agent.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.borewarden.rules.part.RuleSet;

/**
 * The report of a shift, in its order: what is handed over, then what was, then what it rests on.
 */
final class ShiftReport {
  private final Gathering gathered;
  private final Texts texts;
  private final Times times;
  private final List<Block> blocks = new ArrayList<>();

  private ShiftReport(Gathering gathered, Texts texts) {
    this.gathered = gathered;
    this.texts = texts;
    this.times = new Times(gathered.wanted);
  }

  static Report of(Gathering gathered, Texts texts, String journal, Optional<String> notAsWritten) {
    ShiftReport report = new ShiftReport(gathered, texts);
    notAsWritten.ifPresent(
        first ->
            report.blocks.add(new Block.Paragraph("caution", texts.of("not-as-written", first))));
    report.add();
    Wanted wanted = gathered.wanted;
    String under =
        texts.of(
            "under",
            wanted.span(),
            report.times.whole(wanted.from()),
            report.times.whole(wanted.to()),
            wanted.zone());
    String foot =
        texts.of(
            "foot",
            journal,
            gathered.lastSeq(),
            gathered.state().rules().map(RuleSet::revision).orElse("-"));
    return new Report(
        texts.language(), texts.of("title", wanted.span()), under, report.blocks, foot);
  }

  private void add() {
    LifeBlocks lives = new LifeBlocks(gathered, texts);
    OtherBlocks other = new OtherBlocks(gathered, texts);
    heading("heading.handover");
    table(Handover.of(gathered, texts), "handover.none");
    heading("heading.bores");
    only();
    table(lives.overview(), "exceptions.none");
    heading("heading.holds");
    table(other.holds(), "holds.none");
    optional(other.bypasses());
    heading("heading.findings");
    table(lives.findings(), "findings.none");
    heading("heading.runs");
    gathered.lives.lives().forEach(life -> lives.add(life, blocks));
    heading("heading.gauges");
    table(other.ringChecks(), "ring-checks.none");
    blocks.addAll(other.windowWords());
    optional(other.windows());
    heading("heading.losses");
    table(other.losses(), "losses.none");
    optional(other.slips());
    optional(other.byHand());
    heading("heading.reading");
    for (String note : List.of("note.sure", "note.verdict", "note.indices", "note.safety")) {
      blocks.add(new Block.Paragraph("note", texts.of(note)));
    }
  }

  private void only() {
    gathered
        .wanted
        .feature()
        .or(gathered.wanted::part)
        .ifPresent(of -> blocks.add(new Block.Paragraph("note", texts.of("only", of))));
  }

  private void heading(String key) {
    blocks.add(new Block.Heading(2, texts.of(key)));
  }

  private void table(Block.Table table, String none) {
    blocks.add(table.rows().isEmpty() ? new Block.Paragraph("good", texts.of(none)) : table);
  }

  private void optional(Block.Table table) {
    if (!table.rows().isEmpty()) {
      blocks.add(table);
    }
  }
}
