package org.borewarden.agent.cli;

import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.borewarden.agent.journal.Backup;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.VerifyReport;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code backup}: copies the journal while the agent runs. */
@Command(
    name = "backup",
    description = "Copies the journal as it stands at one moment, and walks the copy's chain.",
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:copied, and the copy's chain holds",
      "1:copied, but its chain does not hold: see 'verify'",
      "2:the command line or agent.yaml is wrong",
      "3:it cannot be copied"
    },
    mixinStandardHelpOptions = true)
public final class BackupCommand implements Callable<Integer> {
  private static final int FAILED = 3;

  @Mixin private JournalPlace place = new JournalPlace();

  @Parameters(
      index = "0",
      paramLabel = "COPY",
      description = "The folder to make; it must not be there.")
  private Path copy = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public BackupCommand() {}

  @Override
  public Integer call() {
    CommandLine line = spec.commandLine();
    Optional<Path> folder = place.journalFolder(line.getErr());
    if (folder.isEmpty()) {
      return CommandLine.ExitCode.USAGE;
    }
    try {
      VerifyReport report = Backup.copy(folder.get(), copy);
      line.getOut()
          .println(
              "journal "
                  + report.journalId()
                  + ": "
                  + report.entries()
                  + " entries up to "
                  + report.lastSeq()
                  + " copied to "
                  + copy
                  + (report.whole() ? ", the chain holds" : ", the chain does NOT hold"));
      return report.whole() ? CommandLine.ExitCode.OK : CommandLine.ExitCode.SOFTWARE;
    } catch (JournalException e) {
      line.getErr().println(e.getMessage());
      return FAILED;
    }
  }
}
