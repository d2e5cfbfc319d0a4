package org.borewarden.agent;

import java.time.Instant;
import java.util.List;
import org.borewarden.agent.payload.Json;
import org.borewarden.rules.engine.CellTestLine;
import org.borewarden.rules.engine.Decision;

/** The protocol of a cell test as people read it: markdown. */
final class CellTestProtocol {
  private CellTestProtocol() {}

  static String of(
      String agent,
      String version,
      String rules,
      Instant at,
      Decision.CellTestEnded ended,
      List<CellTestLine> lines) {
    StringBuilder text = new StringBuilder();
    text.append("# Cell test of ").append(ended.cell()).append("\n\n| | |\n|---|---|\n");
    row(text, "outcome", ended.outcome());
    row(text, "steps", ended.passed() + " passed, " + ended.failed() + " failed");
    row(text, "begun", Json.time(ended.begun()) + ", command recorded under seq " + ended.run());
    row(text, "ended", Json.time(at));
    row(text, "asked by", ended.by() + ", proved as " + ended.authenticatedAs());
    row(text, "agent", agent + ", version " + version);
    row(text, "rules", rules.isEmpty() ? "none" : rules);
    text.append("\nNo run permit was given while it ran. It proves the path of the bits, and not");
    text.append(" that the machine stops: that is what test-hold is for.\n");
    if (!lines.isEmpty()) {
      text.append("\n| step | sent | the cell has | | after ms |\n|---|---|---|---|---|\n");
      for (CellTestLine line : lines) {
        row(
            text,
            line.step(),
            line.sent(),
            line.seen(),
            line.passed() ? "passed" : "FAILED",
            Long.toString(line.atMillis()));
      }
    }
    return text.toString();
  }

  private static void row(StringBuilder text, String... cells) {
    for (String cell : cells) {
      text.append("| ").append(cell.replace("|", "/").replace('\n', ' ')).append(' ');
    }
    text.append("|\n");
  }
}
