package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.PrintWriter;
import java.io.Reader;
import java.io.StringWriter;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import javax.xml.parsers.DocumentBuilderFactory;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.loop.ToldJournal;
import org.borewarden.rules.engine.Order;
import org.borewarden.rules.engine.Role;
import org.dhatim.fastexcel.reader.CellType;
import org.dhatim.fastexcel.reader.ReadableWorkbook;
import org.dhatim.fastexcel.reader.Row;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import picocli.CommandLine;

/** The report of a morning, every file of it opened and read back by other libraries. */
class ReportTest {
  private static final String NAME = "report-early-2026-05-05";
  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir private static Path folder;
  private static ToldJournal told = new Morning().told;

  @BeforeAll
  static void morning() throws Exception {
    told = new Morning().tell().told;
    told.writeTo(folder.resolve("data"));
    Files.writeString(
        folder.resolve("agent.yaml"),
        """
        agent: northworks-cell-4
        root: northworks/housings/cell-4
        rules: rules.yaml
        data: data
        gauges: [{id: bore-1, tcp: "127.0.0.1:4001", unit: mm}]
        site:
          zone: Europe/Berlin
          shifts: [{name: early, from: "06:00", to: "14:00"}]
        """);
    assertThat(early("out").exit()).isZero();
  }

  private record Ran(int exit, String out, String err) {}

  private static Ran run(String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    List<String> all = new ArrayList<>(List.of("report", "-c", folder + "/agent.yaml"));
    all.addAll(List.of(args));
    CommandLine line = Main.line().setOut(new PrintWriter(out)).setErr(new PrintWriter(err));
    return new Ran(line.execute(all.toArray(String[]::new)), out.toString(), err.toString());
  }

  private static Ran early(String into, String... more) {
    List<String> args = new ArrayList<>(List.of("--shift", "early", "--day", "2026-05-05"));
    args.addAll(List.of("-o", folder.resolve(into).toString()));
    args.addAll(List.of(more));
    return run(args.toArray(String[]::new));
  }

  private static String pdf(String into, String name) throws Exception {
    try (PDDocument document =
        Loader.loadPDF(folder.resolve(into).resolve(name + ".pdf").toFile())) {
      PDFTextStripper text = new PDFTextStripper();
      text.setSortByPosition(true);
      return text.getText(document).replaceAll("\\s+", " ");
    }
  }

  @Test
  void theReportReadsAsTheMorningWent() throws Exception {
    assertThat(pdf("out", NAME))
        .contains(
            "Shift report, early 2026-05-05",
            "2026-05-05 06:00:00 to 2026-05-05 14:00:00, Europe/Berlin",
            // Handed over.
            "Bores to measure again bore-1 4 not measured again yet 08:36:20",
            "Certificate runs out R62 2026-05-12",
            // The drift, its hold, and who released it.
            "k-berg (supervisor),",
            "Room at the end 1.54 times three residual sigmas",
            "there is no Cp or Cpk and no interval",
            // The chip, the gauge, the ring.
            "08:26:40 bearing-seat 34 - =1+1 undecided, high 74.8 % 62.029 mm taken back: chip in"
                + " the bore, by m-lindqvist",
            "08:36:20 bore-1 R62 K-62 62.001 mm 62.006 mm, 62.006 mm +5.0 um as found failed",
            "bore-1 08:34:40 bearing-seat 35 - H-135 62.005 mm within undecided, low measured since",
            "bore-1 07:27:40 bearing-seat 21 - H-121 62.005 mm within undecided, low to measure"
                + " again",
            "frame rejected bore-1 frame not understood 3",
            "is not a safety function")
        .doesNotContain("cell-4, 1 stands");
  }

  @Test
  void aHoldSaysWhoReleasedItWhyAndWhetherItWasNeeded() throws Exception {
    List<Row> holds = sheet("out", NAME, "Holds");
    assertThat(holds).hasSize(2);
    assertThat(IntStream.range(0, 8).mapToObj(holds.get(1)::getCellText))
        .containsExactly(
            "cell-4, 1",
            "07:23:40",
            "07:34:40 (0:11:00)",
            "runs out of limit soon (bearing-seat)",
            "",
            "k-berg (supervisor), without evidence",
            "tool-changed",
            "yes");
  }

  /** Counted from the rows as they are published, by nothing of the report. */
  @Test
  void theCountsAreThoseOfTheJournalsRows() throws Exception {
    TreeMap<String, Integer> rows = new TreeMap<>();
    Set<Long> gone = new HashSet<>();
    for (Entry entry : told.entries()) {
      if (entry.kind().equals("bore-discarded")) {
        gone.add(body(entry).path("revised").asLong());
      }
    }
    for (Entry entry : told.entries()) {
      if (entry.kind().equals("bore-judged")) {
        String verdict = gone.contains(entry.seq()) ? "gone" : body(entry).path("verdict").asText();
        rows.merge(verdict, 1, Integer::sum);
      }
    }
    assertThat(rows).containsOnlyKeys("gone", "within", "withheld");
    List<Row> sheet = sheet("out", NAME, "Bores by tool life");
    assertThat(sheet).hasSize(3);
    assertThat(sum(sheet, 3)).isEqualTo(rows.get("within"));
    assertThat(sum(sheet, 7)).isEqualTo(rows.get("withheld"));
    assertThat(sum(sheet, 8)).isEqualTo(rows.get("gone"));
    assertThat(sum(sheet, 2)).isEqualTo(rows.values().stream().mapToInt(n -> n).sum());
    assertThat(sum(sheet, 4) + sum(sheet, 5) + sum(sheet, 6)).isZero();
  }

  private static int sum(List<Row> rows, int column) {
    return rows.stream()
        .skip(1)
        .mapToInt(r -> r.getCellAsNumber(column).orElseThrow().intValue())
        .sum();
  }

  @Test
  void everySizeHasTheDigitsOfItsReadingAndNoTextIsAFormula() throws Exception {
    List<CSVRecord> lines = csv("out", ',');
    List<Row> sheet = sheet("out", NAME, "Bores");
    List<Entry> bores =
        told.entries().stream().filter(e -> e.kind().equals("bore-judged")).toList();
    assertThat(lines).hasSameSizeAs(bores);
    assertThat(sheet).hasSize(bores.size() + 1);
    for (int i = 0; i < bores.size(); i++) {
      JsonNode body = body(bores.get(i));
      String digits = digits(bores.get(i), "value");
      assertThat(lines.get(i).get("reading")).isEqualTo(digits).matches("62\\.\\d{3}");
      assertThat(lines.get(i).get("upper limit")).isEqualTo("62.030");
      assertThat(sheet.get(i + 1).getCellAsNumber(8).orElseThrow())
          .isEqualByComparingTo(new BigDecimal(digits));
      assertThat(sheet.get(i + 1).getCell(8).getRawValue()).isEqualTo(digits);
      assertThat(lines.get(i).get("part")).isEqualTo(body.path("part").asText());
      assertThat(lines.get(i).get("seq")).isEqualTo(Long.toString(bores.get(i).seq()));
    }
    assertThat(lines).filteredOn(l -> l.get("serial").equals("'" + Morning.FORMULA)).hasSize(2);
    assertThat(sheet)
        .flatExtracting(row -> row.stream().filter(c -> c != null).map(c -> c.getType()).toList())
        .doesNotContain(CellType.FORMULA);
    assertThat(sheet).anyMatch(row -> row.getCellText(4).equals(Morning.FORMULA));
  }

  @Test
  void inGermanWithACommaFieldsArePartedBySemicolons() throws Exception {
    assertThat(early("de", "--language", "de", "--decimal", "comma").exit()).isZero();
    List<CSVRecord> lines = csv("de", ';');
    assertThat(lines.get(0).get("Messwert")).isEqualTo("62,021");
    assertThat(lines.get(0).get("Urteil")).isEqualTo("gut");
    assertThat(pdf("de", NAME))
        .contains(
            "Schichtbericht, early 2026-05-05",
            "Übergabe",
            "62,029 mm",
            "keine Sicherheitsfunktion")
        .doesNotContain("62.029");
  }

  @Test
  void theSameJournalGivesTheSameBytes() throws Exception {
    assertThat(early("again").exit()).isZero();
    for (String ending : List.of(".html", ".pdf", ".csv", ".xlsx")) {
      assertThat(folder.resolve("again").resolve(NAME + ending))
          .as(ending)
          .hasSameBinaryContentAs(folder.resolve("out").resolve(NAME + ending));
    }
    assertThat(folder.resolve("again")).isDirectoryNotContaining("glob:**.part");
  }

  @Test
  void thePageIsWholeAndAsksForNothing() throws Exception {
    Document page =
        DocumentBuilderFactory.newInstance()
            .newDocumentBuilder()
            .parse(folder.resolve("out").resolve(NAME + ".html").toFile());
    assertThat(page.getElementsByTagName("svg").getLength()).isEqualTo(2);
    assertThat(page.getElementsByTagName("circle").getLength()).isEqualTo(37);
    for (String no : List.of("script", "link", "img", "iframe", "a")) {
      assertThat(page.getElementsByTagName(no).getLength()).as(no).isZero();
    }
    assertThat(((Element) page.getElementsByTagName("svg").item(0)).getAttribute("aria-label"))
        .startsWith("Run of bearing-seat, 21 bores");
    assertThat(page.getDocumentElement().getAttribute("lang")).isEqualTo("en");
  }

  @Test
  void aMeasurementRecordGoesDownToTheRingsCertificate() throws Exception {
    Ran ran = run("--serial", "H-135", "-o", folder.resolve("record").toString());
    assertThat(ran.exit()).as(ran.err()).isZero();
    assertThat(pdf("record", "record-H-135"))
        .contains("Measurement record, part H-135", "bearing-seat of part number housing-31")
        .containsSubsequence(
            "verdict within",
            "how sure > 99.9 %",
            "reading 62.005 mm",
            "Limits nominal 62.000 mm;" + " lower 62.000 mm; upper 62.030 mm",
            "Set to its ring not told",
            "verdict within," + " measured again",
            "how sure 99.6 %",
            "reading 62.004 mm",
            "gauge bore-1",
            "Set to" + " its ring 2026-05-05 08:42:20, by j-okafor",
            "Checked on the ring 2026-05-05" + " 08:43:00, mean error 0.0 um",
            "ring R62, certified 62.001 mm, U = 0.0008 mm",
            "certificate K-62, counts until 2026-05-12");
  }

  @Test
  void aPartThatWasScannedWronglyIsFoundUnderBothSerialsAndSaysSo() throws Exception {
    String said = "serial corrected from H-122 to H-222: wrong part scanned, by m-lindqvist";
    // Under the wrong one too: who asks for that part learns why there is nothing more of it.
    for (String serial : List.of("H-122", "H-222")) {
      Ran ran = run("--serial", serial, "-o", folder.resolve("corrected").toString());
      assertThat(ran.exit()).as(ran.err()).isZero();
      assertThat(pdf("corrected", "record-" + serial)).contains("reading 62.024 mm", said);
    }
    assertThat(csv("out", ',')).filteredOn(l -> l.get("serial").equals("H-222")).hasSize(1);
    assertThat(csv("out", ',')).noneMatch(l -> l.get("serial").equals("H-122"));
  }

  @Test
  void theRecordOfAPartSaysThatABoreWasTakenBack() throws Exception {
    Ran ran = run("--serial", Morning.FORMULA, "-o", folder.resolve("back").toString());
    assertThat(ran.exit()).as(ran.err()).isZero();
    List<Path> written;
    try (var files = Files.list(folder.resolve("back"))) {
      written = files.filter(file -> file.toString().endsWith(".html")).toList();
    }
    assertThat(written).hasSize(1);
    assertThat(Files.readString(written.get(0)))
        .contains("taken back: chip in the bore, by m-lindqvist");
  }

  /** What stood at the end of a span stands in its report, although it was released later. */
  @Test
  void aSpanThatEndsBeforeTheReleaseHandsOverTheHold() throws Exception {
    Ran ran = run("--from", "2026-05-05T06:00", "--to", "2026-05-05T07:30", "-o", folder + "/held");
    assertThat(ran.exit()).as(ran.err()).isZero();
    assertThat(pdf("held", "report-2026-05-05T06-00-2026-05-05T07-30"))
        .contains("Held cell-4, 1 runs out of limit soon (bearing-seat)", "stands")
        .doesNotContain("k-berg", "failed");
  }

  @Test
  void whatCannotBeReportedIsRefusedWithWhatCan() {
    Ran none = run("--day", "2026-05-06", "-o", folder + "/none");
    assertThat(none.exit()).isEqualTo(1);
    assertThat(none.err())
        .startsWith("no bore was judged in 2026-05-06: the journal holds bores from 2026-05-05T04");
    assertThat(run("--feature", "bearingseat", "-o", folder + "/none").err())
        .startsWith("--feature: expected a feature of the journal, found \"bearingseat\"; did you")
        .contains("did you mean \"bearing-seat\"?");
    assertThat(run("--serial", "H-136x", "-o", folder + "/none").err())
        .contains("expected a serial of the journal, found \"H-136x\"; did you mean \"H-136\"?");
    Ran shift = run("--shift", "late");
    assertThat(shift.exit()).isEqualTo(CommandLine.ExitCode.USAGE);
    assertThat(shift.err()).startsWith("--shift: expected one of early, found late");
    assertThat(run("--from", "2026-05-05T06:00").err()).startsWith("expected --from and --to");
    assertThat(run("--language", "fr").err()).startsWith("--language: expected en or de, found fr");
    Ran gone = run("--journal", folder + "/nowhere", "--day", "2026-05-05");
    assertThat(gone.exit()).isEqualTo(3);
    assertThat(folder.resolve("none")).doesNotExist();
  }

  @Test
  void theReportIsWrittenWhileTheAgentKeepsItsJournalOpen() throws Exception {
    try (JournalStore open =
        JournalStore.open(
            folder.resolve("data"),
            JournalConfig.DEFAULT,
            "0.1.0",
            () -> Instant.parse("2026-05-05T12:00:00Z"),
            System::nanoTime)) {
      assertThat(open.opened().lastSeq()).isEqualTo(told.lastSeq());
      assertThat(early("open").exit()).isZero();
    }
  }

  /**
   * Twelve values of the test suite of the R package qcc (tests/testthat/test-capability.R), limits
   * 9.9 and 10.1: overall indices 1.612598 (0.949773 to 2.27641) and, to the nearer limit, 1.531968
   * (0.864608 to 2.199329).
   */
  @Test
  void theIndicesOfAWholeLifeAreThePublishedOnes() throws Exception {
    double[] values = {
      10.0, 10.02, 9.98, 10.01, 10.03, 9.99, 10.01, 10.0, 9.97, 10.04, 10.02, 9.99
    };
    ToldJournal published =
        new ToldJournal(
            Instant.parse("2026-05-05T04:00:00Z"),
            """
            part: sleeve-10
            features:
              - {id: small, gauge: bore-1, cell: cell-4, nominal: 10 mm, upper: +0.1 mm, lower: -0.1 mm}
            """);
    Order change = new Order.ToolChanged("cell-4", Optional.empty());
    published.order(Role.SETTER, "j-okafor", change);
    for (int i = 0; i < values.length; i++) {
      String size = BigDecimal.valueOf(values[i]).setScale(2) + " mm";
      published.bore("bore-1", size, i + 1L, "S-" + i);
    }
    published.pass(Duration.ofMinutes(1)).order(Role.SETTER, "j-okafor", change);
    published.writeTo(folder.resolve("published"));
    Ran ran =
        run("-j", folder + "/published/journal", "--day", "2026-05-05", "-o", folder + "/index");
    assertThat(ran.exit()).as(ran.err()).isZero();
    assertThat(pdf("index", "report-2026-05-05"))
        .contains("Pp 1.61 (95 %: 0.95 to 2.28)", "Ppk 1.53 (95 %: 0.86 to 2.20)")
        .contains("whole, from one tool change to the next")
        .doesNotContain("Of a part of a tool life only", "The bores drift");
  }

  private static JsonNode body(Entry entry) throws Exception {
    return JSON.readTree(entry.body());
  }

  /** The digits as they stand in the row. */
  private static String digits(Entry entry, String key) {
    return entry.body().replaceAll(".*\"" + key + "\":([-0-9.]+).*", "$1");
  }

  private static List<CSVRecord> csv(String into, char delimiter) throws Exception {
    CSVFormat format =
        CSVFormat.RFC4180
            .builder()
            .setDelimiter(delimiter)
            .setHeader()
            .setSkipHeaderRecord(true)
            .get();
    try (Reader in =
        Files.newBufferedReader(
            folder.resolve(into).resolve(NAME + ".csv"), StandardCharsets.UTF_8)) {
      return format.parse(in).getRecords();
    }
  }

  private static List<Row> sheet(String into, String name, String sheet) throws Exception {
    try (ReadableWorkbook workbook =
            new ReadableWorkbook(folder.resolve(into).resolve(name + ".xlsx").toFile());
        Stream<Row> rows = workbook.findSheet(sheet).orElseThrow().openStream()) {
      return rows.toList();
    }
  }
}
