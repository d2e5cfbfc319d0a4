package org.borewarden.agent.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.borewarden.agent.journal.JournalException;
import org.borewarden.agent.journal.JournalReader;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.rules.measure.Length;
import org.borewarden.rules.measure.LengthText;
import org.borewarden.rules.measure.Parsed;
import org.borewarden.rules.measure.WrittenLength;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code ring-recall}: the verdicts that change when a ring had another size than certified. */
@Command(
    name = "ring-recall",
    description = {
      "Lists the bores whose verdict changes when a ring had another size than was certified.",
      "Judges them again from the journal; nothing is written, and the agent may be running."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:no verdict changes",
      "1:some do, or the journal is not as it was written; they are printed",
      "2:the command line or agent.yaml is wrong",
      "3:the journal cannot be read"
    },
    mixinStandardHelpOptions = true)
public final class RingRecallCommand implements Callable<Integer> {
  private static final int UNREADABLE = 3;

  private final Recall recall;

  @Mixin private JournalPlace place = new JournalPlace();

  @Option(names = "--ring", paramLabel = "RING", required = true, description = "The ring's id.")
  private String ring = "";

  @Option(
      names = "--since",
      paramLabel = "DAY",
      required = true,
      description = "The first day (UTC) on which it is doubted, such as 2026-03-01.")
  private LocalDate since = LocalDate.EPOCH;

  @Option(
      names = "--was",
      paramLabel = "SIZE",
      required = true,
      description = "The size that it had, with its unit, such as \"62.0031 mm\".")
  private String was = "";

  @Spec private CommandSpec spec = CommandSpec.create();

  /**
   * For picocli.
   *
   * @param recall judges the bores again
   */
  public RingRecallCommand(Recall recall) {
    this.recall = recall;
  }

  /** Judges the bores of a journal again. */
  @FunctionalInterface
  public interface Recall {
    /**
     * Judges them again.
     *
     * @param journal the journal
     * @param asked what is asked
     * @return what came of it
     * @throws JournalException when it cannot be read
     */
    Told of(JournalView journal, Asked asked) throws JournalException;
  }

  /**
   * What is asked.
   *
   * @param ring the ring's id
   * @param since from when on it is doubted
   * @param truly the size that it had
   */
  public record Asked(String ring, Instant since, Length truly) {}

  /**
   * What came of it.
   *
   * @param lines for a person
   * @param unchanged whether no verdict changes and the journal is as it was written
   */
  public record Told(List<String> lines, boolean unchanged) {
    /** Copies the list. */
    public Told {
      lines = List.copyOf(lines);
    }
  }

  @Override
  public Integer call() {
    Length truly = size();
    PrintWriter err = spec.commandLine().getErr();
    Optional<Path> folder = place.journalFolder(err);
    if (folder.isEmpty()) {
      return CommandLine.ExitCode.USAGE;
    }
    try (JournalView journal = JournalReader.openFolder(folder.get())) {
      Instant from = since.atStartOfDay(ZoneOffset.UTC).toInstant();
      Told told = recall.of(journal, new Asked(ring, from, truly));
      told.lines().forEach(spec.commandLine().getOut()::println);
      return told.unchanged() ? CommandLine.ExitCode.OK : CommandLine.ExitCode.SOFTWARE;
    } catch (JournalException e) {
      err.println(e.getMessage());
      return UNREADABLE;
    }
  }

  private Length size() {
    if (LengthText.parse(was) instanceof Parsed.Ok<WrittenLength> good) {
      return good.value().length();
    }
    throw new ParameterException(
        spec.commandLine(),
        "--was: expected a size with its unit, such as \"62.0031 mm\", found \"" + was + "\"");
  }
}
