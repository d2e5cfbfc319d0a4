package org.borewarden.agent.report;

import java.util.List;
import org.apache.commons.csv.CSVFormat;

/**
 * A table as CSV (RFC 4180): commas, or semicolons where numbers have a decimal comma. What others
 * put in is not run as a formula.
 */
final class CsvFile {
  private CsvFile() {}

  static String of(Block.Table table, boolean comma) {
    CSVFormat format = CSVFormat.RFC4180.builder().setDelimiter(comma ? ';' : ',').get();
    StringBuilder text = new StringBuilder();
    text.append(format.format(table.head().toArray())).append("\r\n");
    for (List<Cell> row : table.rows()) {
      text.append(format.format(row.stream().map(CsvFile::field).toArray())).append("\r\n");
    }
    return text.toString();
  }

  private static Object field(Cell cell) {
    return cell.number().isPresent() ? cell.text() : harmless(cell.text());
  }

  /** A text that a spreadsheet would run as a formula gets an apostrophe in front. */
  static String harmless(String text) {
    String plain = text.replaceAll("\\p{Cntrl}", " ");
    boolean formula = !plain.isEmpty() && "=+-@".indexOf(plain.charAt(0)) >= 0;
    return formula ? "'" + plain : plain;
  }
}
