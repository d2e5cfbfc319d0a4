package org.borewarden.agent.acceptance;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Reads what the demo prints as a person would: each act in its place, and the sizes beside it. */
final class ToldStory {
  /** The acts in their order; between two of them others may be told. */
  private static final List<String> ACTS =
      List.of(
          "^Northworks, housings, cell 4: a simulated cell, the real agent\\.$",
          "broker +MQTT on 127\\.0\\.0\\.1:\\d+",
          "agent +online after \\d+ ms",
          "gauge +bore-1 was not on its ring yet: not believed, so no permit$",
          "inspector +sets bore-1 to ring R62 and measures the ring$",
          "gauge +bore-1 shows its ring within 2 um: believed$",
          "setter +presses cycle start at the machine; the cell cuts$",
          "part 1 +bearing-seat 62\\.0\\d\\d mm within",
          "part \\d+ +bearing-seat 62\\.0\\d\\d mm within, at least \\d+ parts left$",
          "controller +run permit absent$",
          "cell +has heard hold 1$",
          "cell +stopped at the end of part \\d+, no permit$",
          "setter +turns the insert to its next edge and says so: accepted \\(record \\d+\\)$",
          "supervisor +releases hold 1 with the tool change as evidence: accepted \\(record \\d+\\)$",
          "cell +sees the permit again, and waits for a local start$",
          "setter +presses cycle start at the machine; the cell cuts$",
          "parts +good parts again; the hold is in the journal with who, why and when$",
          "inspector +puts ring R62 on bore-1 to check it$",
          "gauge +shows 62\\.009 on a ring of 62\\.0013 mm: it reads too large and is not believed$",
          "agent +\\d+ of the \\d+ bores since the good check may have another verdict; measure"
              + " again:$",
          " +part \\d+ was called \\S+, likely \\S+ \\(62\\.0\\d\\d\\d mm\\)$",
          "inspector +sets bore-1 to ring R62 and measures the ring$",
          "gauge +bore-1 shows its ring within 2 um: believed$",
          "^To look at:$",
          "^The permit went and came back, at the controller and over MQTT\\.$");

  private static final String ALERT =
      "alert +active-unacknowledged: \\d+ parts until a bore may be undersize";

  private static final Pattern PART =
      Pattern.compile("part (\\d+) +bearing-seat (\\d+\\.\\d+) mm (\\S+?)(,.*)?$");
  private static final Pattern AGAIN =
      Pattern.compile("part (\\d+) was called (\\S+), likely (\\S+) \\((\\d+\\.\\d+) mm\\)$");
  private static final Pattern COUNT = Pattern.compile("agent +(\\d+) of the (\\d+) bores");

  /** The ring showed 62.009 in the end: 7.7 um above its certificate, and near nothing before. */
  private static final BigDecimal MOST_OFF = new BigDecimal("0.0077");

  private final List<String> lines;
  private final List<String> wrong = new ArrayList<>();

  private ToldStory(List<String> lines) {
    this.lines = lines;
  }

  /** What a person would stumble over, in words; empty for the story as it should be. */
  static List<String> wrong(List<String> lines) {
    ToldStory story = new ToldStory(lines);
    story.acts();
    story.alert();
    story.parts();
    return story.wrong;
  }

  private void acts() {
    int at = 0;
    for (String act : ACTS) {
      int found = line(act, at);
      if (found == lines.size()) {
        wrong.add("not told behind line " + at + ": " + act);
      } else {
        at = found + 1;
      }
    }
  }

  /** The alert comes by MQTT, beside what the controller tells: it has no place among the acts. */
  private void alert() {
    if (line(ALERT, 0) >= line("cell +stopped at", 0)) {
      wrong.add("not told before the cell stopped: " + ALERT);
    }
  }

  /** The next line that matches, from one on; their number where there is none. */
  private int line(String act, int from) {
    int found = from;
    while (found < lines.size() && !Pattern.compile(act).matcher(lines.get(found)).find()) {
      found++;
    }
    return found;
  }

  private void parts() {
    Map<String, Matcher> seen = new HashMap<>();
    boolean stopped = false;
    int counted = -1;
    int listed = 0;
    for (String line : lines) {
      stopped |= line.contains("stopped at the end of part");
      Matcher part = PART.matcher(line);
      Matcher again = AGAIN.matcher(line);
      Matcher count = COUNT.matcher(line);
      if (again.find()) {
        listed++;
        again(line, again, Optional.ofNullable(seen.get(again.group(1))));
      } else if (part.find()) {
        seen.put(part.group(1), part);
        if (!stopped && !part.group(3).equals("within")) {
          wrong.add("a bad bore before the cell stopped: " + line);
        }
      } else if (count.find()) {
        counted = Integer.parseInt(count.group(1));
        if (Integer.parseInt(count.group(2)) != seen.size()) {
          wrong.add("of " + seen.size() + " bores: " + line);
        }
      } else if (line.trim().matches(".*\\.\\.\\. and \\d+ more")) {
        listed += Integer.parseInt(line.replaceAll(".* and (\\d+) more", "$1"));
      }
    }
    if (counted != listed) {
      wrong.add("told " + counted + " bores to measure again, listed " + listed);
    }
  }

  /**
   * The same part as before, under the same verdict, and smaller by what the gauge read too large.
   */
  private void again(String line, Matcher again, Optional<Matcher> found) {
    if (found.isEmpty()) {
      wrong.add("a part that was never measured: " + line);
      return;
    }
    Matcher before = found.get();
    BigDecimal off = new BigDecimal(before.group(2)).subtract(new BigDecimal(again.group(4)));
    if (!before.group(3).equals(again.group(2))
        || off.signum() < 0
        || off.compareTo(MOST_OFF) > 0) {
      wrong.add("not that part: " + line + " after " + before.group());
    }
  }
}
