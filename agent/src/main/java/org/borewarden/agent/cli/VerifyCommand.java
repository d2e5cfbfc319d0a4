package org.borewarden.agent.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.agent.journal.Verify;
import org.borewarden.agent.journal.VerifyReport;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code verify}: whether a journal is as it was written, and whether its verdicts follow. */
@Command(
    name = "verify",
    description = {
      "Walks a journal's chain of hashes and says where it does not hold; the agent may be running.",
      "With --judge every decision is derived again from the events and rules texts in the journal.",
      "The chain shows damage and careless changes; it is not signed."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:the journal is whole, and with --judge every decision is the one that was written",
      "1:it is not; the first place is printed",
      "2:the command line or agent.yaml is wrong",
      "3:the journal cannot be read"
    },
    mixinStandardHelpOptions = true)
public final class VerifyCommand implements Callable<Integer> {
  private static final int UNREADABLE = 3;

  private final Judge judge;

  @Mixin private JournalPlace place = new JournalPlace();

  @Option(names = "--judge", description = "Derive every decision again and compare.")
  private boolean again;

  @Spec private CommandSpec spec = CommandSpec.create();

  /**
   * For picocli.
   *
   * @param judge derives the decisions again
   */
  public VerifyCommand(Judge judge) {
    this.judge = judge;
  }

  /** Derives the decisions of a journal again. */
  @FunctionalInterface
  public interface Judge {
    /**
     * Judges a journal again.
     *
     * @param journal the journal
     * @return what came of it
     * @throws JournalException when it cannot be read
     */
    Judged again(JournalView journal) throws JournalException;
  }

  /**
   * What came of judging again.
   *
   * @param lines for a person
   * @param same whether every decision is the one that was written
   */
  public record Judged(List<String> lines, boolean same) {
    /** Copies the list. */
    public Judged {
      lines = List.copyOf(lines);
    }
  }

  @Override
  public Integer call() {
    PrintWriter out = spec.commandLine().getOut();
    PrintWriter err = spec.commandLine().getErr();
    Optional<Path> folder = place.journalFolder(err);
    if (folder.isEmpty()) {
      return CommandLine.ExitCode.USAGE;
    }
    try {
      VerifyReport report = Verify.journalFolder(folder.get());
      lines(report).forEach(out::println);
      boolean good = report.whole();
      if (again) {
        good &= judged(folder.get(), out);
      }
      return good ? CommandLine.ExitCode.OK : CommandLine.ExitCode.SOFTWARE;
    } catch (JournalException e) {
      err.println(e.getMessage());
      return UNREADABLE;
    }
  }

  private boolean judged(Path folder, PrintWriter out) throws JournalException {
    try (JournalView journal = JournalReader.openFolder(folder)) {
      Judged judged = judge.again(journal);
      judged.lines().forEach(out::println);
      return judged.same();
    }
  }

  private static List<String> lines(VerifyReport report) {
    String state =
        report.whole()
            ? "the chain holds"
            : "the chain does NOT hold, " + report.brokenLinks() + " links broken";
    String where =
        report
            .first()
            .map(broken -> "the first at entry " + broken.seq() + ": " + broken.what())
            .orElse("");
    List<String> lines =
        List.of(
            "journal " + report.journalId(),
            report.entries()
                + " entries, "
                + report.firstSeq()
                + " to "
                + report.lastSeq()
                + ": "
                + state,
            where,
            report.outbox() + " not acknowledged by the broker, " + report.aside() + " refused");
    return lines.stream().filter(line -> !line.isEmpty()).toList();
  }
}
