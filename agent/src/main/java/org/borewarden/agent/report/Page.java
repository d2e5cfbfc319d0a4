package org.borewarden.agent.report;

import java.util.List;
import java.util.regex.Pattern;

/**
 * A report as one page of HTML that is XML too: no script, nothing from elsewhere; the PDF is made
 * of the very same page.
 */
final class Page {
  /** Colours hold 4.5 to 1 against their ground; nothing is told by colour alone. */
  private static final String STYLE =
      """
      @page { size: A4; margin: 14mm 13mm 16mm 13mm;
        @bottom-left { content: "%FOOT%"; font-family: Report; font-size: 7.5pt; color: #595959; }
        @bottom-right { content: counter(page) " / " counter(pages); font-family: Report;
          font-size: 7.5pt; color: #595959; } }
      body { font-family: Report, "Liberation Sans", Arial, Helvetica, sans-serif; font-size: 9pt;
        line-height: 1.35; color: #1b1b1b; background: #ffffff; max-width: 184mm; margin: 0 auto;
        padding: 0; }
      h1 { font-size: 17pt; font-weight: normal; margin: 0 0 1mm 0; }
      h2 { font-size: 13pt; font-weight: normal; margin: 7mm 0 2mm 0; padding-bottom: 0.8mm;
        border-bottom: 1.2pt solid #1b1b1b; page-break-after: avoid; }
      h3 { font-size: 10.5pt; font-weight: normal; margin: 5mm 0 1.5mm 0;
        page-break-after: avoid; }
      p { margin: 1mm 0 1.5mm 0; }
      .under { color: #444444; margin-bottom: 3mm; }
      .note { color: #444444; }
      .caution { border-left: 3pt solid #1b1b1b; padding: 0.8mm 0 0.8mm 2mm; background: #f3f0e6; }
      .good { border-left: 3pt solid #7a7a7a; padding: 0.8mm 0 0.8mm 2mm; }
      .legend { color: #444444; font-size: 8pt; margin-top: 0; }
      table { border-collapse: collapse; width: 100%; margin: 1mm 0 3mm 0; font-size: 8pt;
        -fs-table-paginate: paginate; }
      caption { text-align: left; color: #444444; padding: 0 0 0.8mm 0; caption-side: top; }
      th { text-align: left; font-weight: normal; color: #444444;
        border-bottom: 0.8pt solid #1b1b1b; padding: 0.6mm 1.6mm 0.6mm 0; vertical-align: bottom; }
      td { border-bottom: 0.4pt solid #cfcfcf; padding: 0.7mm 1.6mm 0.7mm 0; vertical-align: top;
        word-wrap: break-word; }
      td.number, th.number { text-align: right; white-space: nowrap; }
      tr { page-break-inside: avoid; }
      table.short { page-break-inside: avoid; }
      td.whole { white-space: nowrap; }
      table.facts { width: auto; }
      table.facts td { border: 0; padding: 0.3mm 5mm 0.3mm 0; }
      table.facts td.name { color: #444444; }
      .chart { page-break-inside: avoid; margin: 1mm 0; }
      """;

  /** A table of so many rows stays on one sheet of paper. */
  private static final int SHORT = 15;

  /** What is not broken between lines. */
  private static final Pattern MOMENT = Pattern.compile("[-0-9:. ]{1,19}");

  private final StringBuilder html = new StringBuilder();

  /** The last heading, so that a table below it does not say the same again. */
  private String heading = "";

  private Page() {}

  static String of(Report report) {
    Page page = new Page();
    page.head(report);
    report.blocks().forEach(page::block);
    page.html.append("<p class=\"note\">").append(escaped(report.foot())).append("</p>\n");
    page.html.append("</body>\n</html>\n");
    return page.html.toString();
  }

  private void head(Report report) {
    // It stands in a style sheet, where nothing can be escaped for both readings of the page.
    String foot = report.foot().replaceAll("[<>&\"\\\\]", " ");
    html.append("<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"")
        .append(report.language())
        .append("\" xml:lang=\"")
        .append(report.language())
        .append("\">\n<head>\n<meta charset=\"utf-8\"/>\n")
        .append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n")
        .append("<title>")
        .append(escaped(report.title()))
        .append("</title>\n<style>\n")
        .append(STYLE.replace("%FOOT%", foot))
        .append("</style>\n</head>\n<body>\n<h1>")
        .append(escaped(report.title()))
        .append("</h1>\n<p class=\"under\">")
        .append(escaped(report.under()))
        .append("</p>\n");
  }

  private void block(Block block) {
    if (block instanceof Block.Heading next) {
      heading = next.text();
      html.append("<h").append(next.level()).append('>').append(escaped(heading));
      html.append("</h").append(next.level()).append(">\n");
    } else if (block instanceof Block.Paragraph paragraph) {
      html.append("<p class=\"").append(paragraph.kind()).append("\">");
      html.append(escaped(paragraph.text())).append("</p>\n");
    } else if (block instanceof Block.Chart chart) {
      html.append("<div class=\"chart\">").append(chart.svg()).append("<p class=\"legend\">");
      html.append(escaped(chart.legend())).append("</p></div>\n");
    } else if (block instanceof Block.Facts facts) {
      facts(facts);
    } else if (block instanceof Block.Table table) {
      table(table);
    }
  }

  private void facts(Block.Facts facts) {
    html.append("<table class=\"facts\">\n");
    for (List<String> row : facts.rows()) {
      html.append("<tr><td class=\"name\">").append(escaped(row.get(0))).append("</td><td>");
      html.append(escaped(row.get(1))).append("</td></tr>\n");
    }
    html.append("</table>\n");
  }

  private void table(Block.Table table) {
    html.append(table.rows().size() <= SHORT ? "<table class=\"short\">\n" : "<table>\n");
    if (!table.name().equals(heading)) {
      html.append("<caption>").append(escaped(table.name())).append("</caption>\n");
    }
    html.append("<thead><tr>");
    for (int i = 0; i < table.head().size(); i++) {
      html.append(numbers(table, i) ? "<th class=\"number\">" : "<th>");
      html.append(escaped(table.head().get(i))).append("</th>");
    }
    html.append("</tr></thead>\n<tbody>\n");
    for (List<Cell> row : table.rows()) {
      html.append("<tr>");
      for (Cell cell : row) {
        html.append(opened(cell));
        html.append(escaped(cell.text())).append("</td>");
      }
      html.append("</tr>\n");
    }
    html.append("</tbody>\n</table>\n");
  }

  private static String opened(Cell cell) {
    if (cell.number().isPresent()) {
      return "<td class=\"number\">";
    }
    return MOMENT.matcher(cell.text()).matches() ? "<td class=\"whole\">" : "<td>";
  }

  private static boolean numbers(Block.Table table, int column) {
    return table.rows().stream().anyMatch(row -> row.get(column).number().isPresent());
  }

  /** What others put in, a serial or a reason, is text and nothing else. */
  static String escaped(String text) {
    StringBuilder safe = new StringBuilder();
    text.codePoints()
        .forEach(
            c -> {
              switch (c) {
                case '&' -> safe.append("&amp;");
                case '<' -> safe.append("&lt;");
                case '>' -> safe.append("&gt;");
                case '"' -> safe.append("&quot;");
                default -> safe.appendCodePoint(isXml(c) ? c : ' ');
              }
            });
    return safe.toString();
  }

  /** XML 1.0, 2.2: the characters that a document may hold. */
  private static boolean isXml(int c) {
    boolean low = c == '\n' || (c >= 0x20 && c <= 0x7e) || (c >= 0xa0 && c <= 0xd7ff);
    return low || (c >= 0xe000 && c <= 0xfffd) || c >= 0x10000;
  }
}
