package org.borewarden.agent;

import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.cli.RingRecallCommand;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.loop.RecalledRing;
import org.borewarden.rules.file.ShownLength;
import org.borewarden.rules.gauge.SuspectWindow;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.Unit;

/** Says which verdicts change when a ring had another size than was certified. */
final class RingRecallReport {
  private RingRecallReport() {}

  static RingRecallCommand.Told of(JournalView journal, RingRecallCommand.Asked asked)
      throws JournalException {
    RecalledRing.Recalled recalled =
        RecalledRing.in(
            journal,
            revision -> RulesInForce.kept(journal, revision),
            asked.ring(),
            asked.since(),
            asked.truly());
    List<String> lines = new ArrayList<>();
    recalled.believed().forEach(believed -> lines.addAll(lines(asked, believed)));
    if (recalled.believed().isEmpty()) {
      lines.add("no bore since " + asked.since() + " rested on ring " + asked.ring());
    }
    if (recalled.again().fromSeq() > 1) {
      lines.add(
          "the entries before "
              + recalled.again().fromSeq()
              + " are retired: bores judged there are not in this list");
    }
    recalled.again().first().ifPresent(first -> lines.add("NOT as written, " + first));
    boolean none = recalled.believed().stream().allMatch(b -> b.changed().isEmpty());
    return new RingRecallCommand.Told(lines, none && recalled.again().first().isEmpty());
  }

  private static List<String> lines(RingRecallCommand.Asked asked, RecalledRing.Believed believed) {
    List<String> lines = new ArrayList<>();
    Length off = asked.truly().minus(believed.certified());
    lines.add(
        "ring "
            + asked.ring()
            + ", certified "
            + shown(believed.certified())
            + ", was "
            + shown(asked.truly())
            + ": its bores are "
            + ShownLength.deviation(off, Unit.MILLIMETRE)
            + " from what was read");
    lines.add(
        believed.bores()
            + " bores since "
            + asked.since()
            + " rested on it; the verdict of "
            + believed.changed().size()
            + " changes");
    believed.changed().forEach(suspect -> lines.add("  " + line(suspect)));
    return lines;
  }

  private static String line(SuspectWindow.Suspect suspect) {
    return suspect.bore().at().truncatedTo(ChronoUnit.SECONDS)
        + " seq "
        + suspect.bore().seq()
        + " "
        + suspect.bore().feature()
        + " part "
        + suspect.bore().part()
        + suspect.bore().serial().map(s -> " serial " + s).orElse("")
        + ": "
        + shown(suspect.bore().judged().low())
        + " "
        + suspect.bore().verdict().key()
        + " -> "
        + shown(suspect.likely().orElseThrow())
        + " "
        + suspect.verdict().orElseThrow().key();
  }

  private static String shown(Length length) {
    return ShownLength.size(length, Unit.MILLIMETRE);
  }
}
