package org.borewarden.agent.sheet;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.cfg.JsonNodeFeature;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.StreamSupport;
import org.borewarden.agent.journal.Entry;

/** The fields of a line, from the body of a journal entry as it is published. */
final class SheetLine {
  /** The first line of a file. */
  static final List<String> HEAD =
      List.of(
          "time",
          "part number",
          "feature",
          "part",
          "serial",
          "result",
          "also",
          "size",
          "unit",
          "deviation",
          "lower limit",
          "upper limit",
          "cautions",
          "gauge",
          "rules",
          "of line",
          "journal",
          "seq");

  /** Exact, so that 62.010 stays 62.010. */
  private static final ObjectMapper JSON =
      JsonMapper.builder()
          .enable(DeserializationFeature.USE_BIG_DECIMAL_FOR_FLOATS)
          .disable(JsonNodeFeature.STRIP_TRAILING_BIGDECIMAL_ZEROES)
          .build();

  private static final String BORE = "bore-judged";
  private static final String TAKEN_BACK = "bore-discarded";

  private SheetLine() {}

  /**
   * The line of an entry.
   *
   * @param entry an entry of the journal
   * @param journal the journal's id for it
   * @param comma whether numbers have a decimal comma
   * @return its fields; empty where it is neither a judged bore nor one that was taken back
   */
  static Optional<List<String>> of(Entry entry, String journal, boolean comma) {
    boolean bore = entry.kind().equals(BORE);
    if (!bore && !entry.kind().equals(TAKEN_BACK)) {
      return Optional.empty();
    }
    JsonNode body = body(entry);
    List<String> fields = new ArrayList<>();
    fields.add(entry.at().toString());
    fields.add(text(body.path("part_number")));
    fields.add(text(body.path("feature")));
    fields.add(text(body.path("part")));
    fields.add(text(body.path("context").path("serial")));
    fields.add(bore ? text(body.path("verdict")) : "taken back");
    fields.add(text(body.path("also")));
    fields.add(number(body.path("value"), comma));
    fields.add(text(body.path("unit")));
    fields.add(number(body.path("deviation"), comma));
    fields.add(number(body.path("lower"), comma));
    fields.add(number(body.path("upper"), comma));
    fields.add(
        StreamSupport.stream(body.path("cautions").spliterator(), false)
            .map(JsonNode::asText)
            .collect(Collectors.joining(" ")));
    fields.add(text(body.path("gauge")));
    fields.add(entry.rules());
    fields.add(bore ? "" : text(body.path("revised")));
    fields.add(journal);
    fields.add(Long.toString(entry.seq()));
    return Optional.of(List.copyOf(fields));
  }

  private static JsonNode body(Entry entry) {
    try {
      return JSON.readTree(entry.body());
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("journal entry " + entry.seq() + " is no JSON", e);
    }
  }

  /** Digits as they were written: a spreadsheet must show what the gauge showed. */
  private static String number(JsonNode node, boolean comma) {
    String digits = node.isNumber() ? node.decimalValue().toPlainString() : "";
    return comma ? digits.replace('.', ',') : digits;
  }

  /** What others put in, a serial for one, must not be run as a formula. */
  private static String text(JsonNode node) {
    String text = node.asText("").replaceAll("\\p{Cntrl}", " ");
    boolean formula = !text.isEmpty() && "=+-@".indexOf(text.charAt(0)) >= 0;
    return formula ? "'" + text : text;
  }
}
