package org.borewarden.agent.report;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.Collections;
import java.util.List;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import java.util.zip.ZipOutputStream;
import org.dhatim.fastexcel.Workbook;
import org.dhatim.fastexcel.Worksheet;

/**
 * Tables as a workbook (ECMA-376), a sheet each. Sizes are numbers with their digits, written as
 * they are and never by way of a double; texts are texts, whatever they begin with.
 */
final class XlsxFile {
  private static final int LONGEST_NAME = 31;
  private static final int WIDEST = 60;
  private static final String CORE = "docProps/core.xml";

  private XlsxFile() {}

  /** Writes it by way of a file beside it, which goes again. */
  static void write(Path file, List<Block.Table> tables, Instant at) throws IOException {
    Path dateless = file.resolveSibling(file.getFileName() + ".part");
    try {
      try (OutputStream out = Files.newOutputStream(dateless);
          Workbook workbook = new Workbook(out, "Borewarden", null)) {
        for (Block.Table table : tables) {
          sheet(workbook.newWorksheet(name(table.name())), table);
        }
      }
      dated(dateless, file, at);
    } finally {
      Files.deleteIfExists(dateless);
    }
  }

  private static void sheet(Worksheet sheet, Block.Table table) {
    for (int column = 0; column < table.head().size(); column++) {
      int widest = table.head().get(column).length();
      sheet.inlineString(0, column, table.head().get(column));
      sheet.style(0, column).bold().set();
      for (int row = 0; row < table.rows().size(); row++) {
        Cell cell = table.rows().get(row).get(column);
        put(sheet, row + 1, column, cell);
        widest = Math.max(widest, cell.text().length());
      }
      sheet.width(column, Math.min(WIDEST, widest + 2.0));
    }
    sheet.freezePane(0, 1);
  }

  private static void put(Worksheet sheet, int row, int column, Cell cell) {
    if (cell.number().isPresent()) {
      BigDecimal number = cell.number().get();
      sheet.value(row, column, number);
      if (number.scale() > 0) {
        sheet.style(row, column).format("0." + "0".repeat(number.scale())).set();
      }
    } else if (!cell.text().isEmpty()) {
      sheet.inlineString(row, column, plain(cell.text()));
    }
  }

  /** XML 1.0 has no control characters. */
  private static String plain(String text) {
    return text.replaceAll("[\\p{Cntrl}\\uFFFE\\uFFFF]", " ");
  }

  /** A sheet's name has no more characters and none of these. */
  private static String name(String caption) {
    String plain = caption.replaceAll("[\\\\/?*\\[\\]:']", " ");
    return plain.substring(0, Math.min(LONGEST_NAME, plain.length()));
  }

  /** The same workbook with one date throughout, so that the same tables give the same bytes. */
  private static void dated(Path dateless, Path file, Instant at) throws IOException {
    Instant second = at.truncatedTo(ChronoUnit.SECONDS);
    LocalDateTime date = LocalDateTime.ofInstant(second, ZoneOffset.UTC);
    try (ZipFile in = new ZipFile(dateless.toFile());
        ZipOutputStream out = new ZipOutputStream(Files.newOutputStream(file))) {
      for (ZipEntry entry : Collections.list(in.entries())) {
        ZipEntry same = new ZipEntry(entry.getName());
        // The oldest date that an entry can have is of 1980.
        same.setTimeLocal(date.getYear() < 1980 ? LocalDateTime.of(1980, 1, 1, 0, 0) : date);
        out.putNextEntry(same);
        try (InputStream body = in.getInputStream(entry)) {
          out.write(
              entry.getName().equals(CORE)
                  ? dated(body.readAllBytes(), second)
                  : body.readAllBytes());
        }
        out.closeEntry();
      }
    }
  }

  private static byte[] dated(byte[] properties, Instant second) {
    return new String(properties, StandardCharsets.UTF_8)
        .replaceAll("(<dcterms:created[^>]*>)[^<]*<", "$1" + second + "<")
        .getBytes(StandardCharsets.UTF_8);
  }
}
