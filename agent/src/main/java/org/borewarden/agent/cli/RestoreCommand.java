package org.borewarden.agent.cli;

import java.nio.file.Path;
import java.time.Instant;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.borewarden.agent.journal.Backup;
import org.borewarden.agent.journal.JournalException;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code restore}: puts a copy in the place of the journal. */
@Command(
    name = "restore",
    description = {
      "Puts a copy in the place of the journal, which is put away whole. The agent must be stopped.",
      "Its next start goes on under a new journal id, holds every cell, and asks for"
          + " 'adopt-journal'."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:restored",
      "2:the command line or agent.yaml is wrong",
      "3:not restored; the journal is what it was"
    },
    mixinStandardHelpOptions = true)
public final class RestoreCommand implements Callable<Integer> {
  private static final int FAILED = 3;

  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      defaultValue = "agent.yaml",
      description =
          "The agent's config file (default: ${DEFAULT-VALUE}); it names the data folder.")
  private Path config = Path.of("agent.yaml");

  @Parameters(index = "0", paramLabel = "COPY", description = "The folder that 'backup' made.")
  private Path copy = Path.of("");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public RestoreCommand() {}

  @Override
  public Integer call() {
    CommandLine line = spec.commandLine();
    Optional<Path> data = JournalPlace.dataFolder(config, line.getErr());
    if (data.isEmpty()) {
      return CommandLine.ExitCode.USAGE;
    }
    try {
      Optional<Path> before = Backup.restore(data.get(), copy, Instant.now());
      line.getOut()
          .println(
              "restored"
                  + before.map(path -> "; the journal before it is now " + path).orElse("")
                  + "; start the agent and adopt it: borewarden adopt-journal --reason CODE");
      return CommandLine.ExitCode.OK;
    } catch (JournalException e) {
      line.getErr().println(e.getMessage());
      return FAILED;
    }
  }
}
