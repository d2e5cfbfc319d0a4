package org.borewarden.agent.sheet;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.borewarden.agent.config.SheetConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalIds;
import org.borewarden.agent.journal.JournalView;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The spreadsheet behind the journal: every bore once, whatever dies. */
class SheetTest {
  private static final String HEAD =
      "time,part number,feature,part,serial,result,also,size,unit,deviation,lower limit,"
          + "upper limit,cautions,gauge,rules,of line,journal,seq\r\n";

  @TempDir private Path folder;

  private final List<Entry> entries = new ArrayList<>();
  private JournalIds ids = JournalIds.always("j-1");
  private Path file = Path.of("");

  @BeforeEach
  void file() {
    file = folder.resolve("bores.csv");
  }

  @Test
  void aBoreIsALineWithTheDigitsOfItsGauge() throws Exception {
    bore("62.010", "within", "K-7");
    follow(false);
    assertThat(text())
        .isEqualTo(
            HEAD
                + "2026-05-04T08:00:01Z,housing-31,bearing-seat,1,K-7,within,,62.010,mm,0.010,62.000,"
                + "62.030,no-uncertainty-stated,bore-1,r1,,j-1,1\r\n");
  }

  @Test
  void aDecimalCommaGoesWithSemicolons() throws Exception {
    bore("62.010", "within", "K-7");
    follow(true);
    assertThat(text()).contains(";62,010;mm;0,010;62,000;62,030;").doesNotContain("62.010");
  }

  @Test
  void otherEntriesMakeNoLineAndABoreThatIsTakenBackOneMore() throws Exception {
    bore("62.010", "within", "");
    entry("reading-taken", "{\"value\":62.011}");
    entry(
        "bore-discarded", "{\"feature\":\"bearing-seat\",\"revised\":1,\"verdict\":\"discarded\"}");
    follow(false);
    List<CSVRecord> lines = lines();
    assertThat(lines).hasSize(2);
    assertThat(lines.get(1).get("result")).isEqualTo("taken back");
    assertThat(lines.get(1).get("of line")).isEqualTo("1");
    assertThat(lines.get(1).get("seq")).isEqualTo("3");
  }

  @Test
  void aSerialThatIsAFormulaIsAText() throws Exception {
    bore("62.010", "within", "=HYPERLINK(\\\"http://x\\\")");
    bore("62.010", "within", "+1,5\\n\\\"8\\\"");
    follow(false);
    assertThat(lines())
        .extracting(l -> l.get("serial"))
        .containsExactly("'=HYPERLINK(\"http://x\")", "'+1,5 \"8\"");
  }

  /** Cut anywhere, as a kill or a full disk would: every bore stands once, in order. */
  @Test
  void whereverItWasCutItGoesOnWithoutAGapAndWithoutALineTwice() throws Exception {
    for (int i = 0; i < 5; i++) {
      bore("62.01" + i, "within", "K-" + i);
    }
    follow(false);
    byte[] whole = Files.readAllBytes(file);
    for (int cut = 0; cut < whole.length; cut++) {
      Files.write(file, java.util.Arrays.copyOf(whole, cut));
      follow(false);
      assertThat(Files.readAllBytes(file)).as("cut at %s", cut).isEqualTo(whole);
    }
    bore("62.019", "within", "K-9");
    follow(false);
    assertThat(lines()).extracting(l -> l.get("size")).endsWith("62.014", "62.019").hasSize(6);
  }

  @Test
  void aCopiedJournalGoesOnBehindTheLineOfItsOldId() throws Exception {
    bore("62.010", "within", "");
    follow(false);
    ids = new JournalIds(new TreeMap<>(Map.of(0L, "j-1", 2L, "j-2")));
    bore("62.011", "within", "");
    follow(false);
    assertThat(lines()).extracting(l -> l.get("journal")).containsExactly("j-1", "j-2");
  }

  @Test
  void aNewJournalBeginsBehindTheLinesOfTheOldOne() throws Exception {
    bore("62.010", "within", "");
    bore("62.011", "within", "");
    follow(false);
    entries.clear();
    ids = JournalIds.always("j-9");
    bore("62.012", "within", "");
    follow(false);
    assertThat(lines())
        .extracting(l -> l.get("size"))
        .containsExactly("62.010", "62.011", "62.012");
  }

  @Test
  void aFileOfSomebodyElseIsLeftAlone() throws Exception {
    String other = "holes;of;mine\r\n1;2;3\r\n";
    Files.writeString(file, other, StandardCharsets.UTF_8);
    bore("62.010", "within", "");
    follow(false);
    assertThat(text()).isEqualTo(other);
    Files.writeString(file, "a letter to the customer", StandardCharsets.UTF_8);
    follow(false);
    assertThat(text()).isEqualTo("a letter to the customer");
  }

  @Test
  void whatCannotBeWrittenWaitsAndIsCaughtUp() throws Exception {
    Sheet sheet = sheet(false);
    bore("62.010", "within", "");
    sheet.follow();
    Path kept = folder.resolve("kept");
    Files.move(file, kept);
    Files.createDirectory(file);
    bore("62.011", "within", "");
    sheet.follow();
    Files.delete(file);
    Files.move(kept, file);
    sheet.follow();
    assertThat(lines()).extracting(l -> l.get("size")).containsExactly("62.010", "62.011");
  }

  /** Until the header is there, nothing is ours to cut. */
  @Test
  void anEmptyFileGetsItsHeadOnce() throws Exception {
    Files.write(file, new byte[0], StandardOpenOption.CREATE);
    follow(false);
    follow(false);
    assertThat(text()).isEqualTo(HEAD);
  }

  private void follow(boolean comma) {
    sheet(comma).follow();
  }

  private Sheet sheet(boolean comma) {
    return new Sheet(new SheetConfig(file, comma), new Journal(), ids);
  }

  private String text() throws Exception {
    return Files.readString(file, StandardCharsets.UTF_8);
  }

  private List<CSVRecord> lines() throws Exception {
    CSVFormat format = CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).get();
    try (CSVParser parser = CSVParser.parse(file, StandardCharsets.UTF_8, format)) {
      return parser.getRecords();
    }
  }

  private void bore(String size, String verdict, String serial) {
    int part = entries.size() + 1;
    entry(
        "bore-judged",
        "{\"feature\":\"bearing-seat\",\"part_number\":\"housing-31\",\"part\":"
            + part
            + ",\"verdict\":\""
            + verdict
            + "\",\"value\":"
            + size
            + ",\"unit\":\"mm\",\"deviation\":"
            + new java.math.BigDecimal(size).subtract(new java.math.BigDecimal("62.000"))
            + ",\"lower\":62.000,\"upper\":62.030,\"gauge\":\"bore-1\","
            + "\"cautions\":[\"no-uncertainty-stated\"]"
            + (serial.isEmpty() ? "" : ",\"context\":{\"serial\":\"" + serial + "\"}")
            + "}");
  }

  private void entry(String kind, String body) {
    long seq = entries.size() + 1L;
    Instant at = Instant.parse("2026-05-04T08:00:00Z").plusSeconds(seq);
    entries.add(new Entry(seq, seq, at, kind, Optional.empty(), 0, "r1", body));
  }

  private final class Journal implements JournalView {
    @Override
    public String journalId() {
      return ids.of(lastSeq());
    }

    @Override
    public long lastSeq() {
      return entries.size();
    }

    @Override
    public List<Entry> read(long fromSeq, int max) {
      return entries.stream().filter(e -> e.seq() >= fromSeq).limit(max).toList();
    }

    @Override
    public Map<String, Long> lastSeqPerTopic() {
      return Map.of();
    }

    @Override
    public Optional<String> text(String name) {
      return Optional.empty();
    }

    @Override
    public void close() {}
  }
}
