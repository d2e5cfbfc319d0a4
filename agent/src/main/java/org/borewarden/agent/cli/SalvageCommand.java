package org.borewarden.agent.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.Salvage;
import org.borewarden.agent.journal.SalvageReport;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code salvage}: copies what can be read of a damaged journal. */
@Command(
    name = "salvage",
    description = {
      "Copies every entry of a damaged journal that can be read into a new one and says which are"
          + " lost. The damaged one is only read.",
      "The copy is to be looked at and kept; an agent does not run on it."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:copied, and nothing is lost",
      "1:copied; what is lost is printed",
      "2:the command line is wrong",
      "3:nothing can be read, or the copy cannot be written"
    },
    mixinStandardHelpOptions = true)
public final class SalvageCommand implements Callable<Integer> {
  private static final int UNREADABLE = 3;

  @Parameters(
      index = "0",
      paramLabel = "FOLDER",
      description = "The damaged journal's folder, such as data/journal.damaged-20261126T140502Z.")
  private Path from = Path.of("");

  @Parameters(
      index = "1",
      paramLabel = "COPY",
      description = "The folder to make; it must not be there.")
  private Path to = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public SalvageCommand() {}

  @Override
  public Integer call() {
    PrintWriter out = spec.commandLine().getOut();
    try {
      SalvageReport report = Salvage.copy(from, to);
      out.println("journal " + report.journalId());
      out.println(
          report.copied()
              + " entries copied, of these "
              + report.unproven()
              + " without proof by the chain; "
              + report.lostEntries()
              + " lost");
      report.lost().forEach(lost -> out.println("lost: " + lost.words()));
      if (!report.lost().isEmpty() && report.namedBy().size() == 1) {
        out.println(
            "that there is an entry "
                + report.last()
                + " is told by one table alone ("
                + report.namedBy().get(0)
                + "), and may be its damage");
      }
      if (report.firstPageReplaced()) {
        out.println("the file's first page is damaged; it was read with that of a new journal");
      }
      out.println(report.unsent() + " of the copied had not been acknowledged by the broker");
      return report.lost().isEmpty() ? CommandLine.ExitCode.OK : CommandLine.ExitCode.SOFTWARE;
    } catch (JournalException e) {
      spec.commandLine().getErr().println(e.getMessage());
      return UNREADABLE;
    }
  }
}
