package org.borewarden.agent.report;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;

/**
 * Writes a report as a page, a PDF, a CSV and a workbook. The same journal gives the same bytes.
 */
public final class ReportFiles {
  private ReportFiles() {}

  /**
   * Writes them, over older ones of the same name.
   *
   * @param gathered what the journal says, checked
   * @param texts the language
   * @param journal the journal's id
   * @param notAsWritten where the journal differs from what its events give, in words
   * @param folder the folder, made where it is not there
   * @param name the name of each file, without its ending
   * @return the files
   * @throws IOException when one cannot be written
   */
  public static List<Path> write(
      Gathering gathered,
      Texts texts,
      String journal,
      Optional<String> notAsWritten,
      Path folder,
      String name)
      throws IOException {
    Report report =
        gathered.wanted.serial().isPresent()
            ? SerialReport.of(gathered, texts, journal, notAsWritten)
            : ShiftReport.of(gathered, texts, journal, notAsWritten);
    Block.Table bores = new BoreRows(gathered, texts, journal).table();
    String html = Page.of(report);
    Files.createDirectories(folder);
    List<Path> written = new ArrayList<>();
    written.add(put(folder, name + ".html", html.getBytes(StandardCharsets.UTF_8)));
    written.add(put(folder, name + ".pdf", PdfFile.of(html, report.title(), gathered.lastAt())));
    written.add(
        put(
            folder,
            name + ".csv",
            CsvFile.of(bores, gathered.wanted.comma()).getBytes(StandardCharsets.UTF_8)));
    Path workbook = folder.resolve(name + ".xlsx");
    XlsxFile.write(workbook, sheets(bores, report), gathered.lastAt());
    written.add(workbook);
    return written;
  }

  /** The bores, and each table of the page; those of one name, one for each tool life, as one. */
  private static List<Block.Table> sheets(Block.Table bores, Report report) {
    Map<String, Block.Table> sheets = new LinkedHashMap<>();
    sheets.put(bores.name(), bores);
    for (Block.Table table : report.tables()) {
      sheets.merge(
          table.name(),
          table,
          (first, more) ->
              new Block.Table(
                  first.name(),
                  first.head(),
                  Stream.concat(first.rows().stream(), more.rows().stream()).toList()));
    }
    return List.copyOf(sheets.values());
  }

  private static Path put(Path folder, String name, byte[] bytes) throws IOException {
    Path file = folder.resolve(name);
    Files.write(file, bytes);
    return file;
  }

  /**
   * A name for the files of a report.
   *
   * @param words its span or serial
   * @return letters, digits and hyphens
   */
  public static String name(String words) {
    String plain = words.replaceAll("[^\\p{L}\\p{N}]+", "-");
    return plain.replaceAll("^-|-$", "");
  }
}
