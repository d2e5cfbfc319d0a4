package org.borewarden.agent.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.concurrent.Callable;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.Understood;
import org.borewarden.rules.file.yaml.Outcome;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code check}: reads both files, says what is wrong or what was understood, and does no more. */
@Command(
    name = "check",
    description = "Reads both files, prints every problem, or else what was understood.",
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {"0:both files are good", "2:something is wrong with a file"},
    mixinStandardHelpOptions = true)
public final class CheckCommand implements Callable<Integer> {
  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      defaultValue = "agent.yaml",
      description = "The config file (default: ${DEFAULT-VALUE}); it names the rules file.")
  private Path config = Path.of("agent.yaml");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** For picocli. */
  public CheckCommand() {}

  @Override
  public Integer call() {
    ReadFiles files = ReadFiles.of(config);
    List<String> problems = files.problems();
    if (!problems.isEmpty()) {
      PrintWriter err = spec.commandLine().getErr();
      problems.forEach(err::println);
      err.println(problems.size() == 1 ? "1 problem" : problems.size() + " problems");
      return CommandLine.ExitCode.USAGE;
    }
    PrintWriter out = spec.commandLine().getOut();
    AgentConfig agent = ((Outcome.Good<AgentConfig>) files.config()).value();
    String today = LocalDate.now(ZoneOffset.UTC).toString();
    Understood.lines(agent, files.checked().orElseThrow(), today).forEach(out::println);
    return CommandLine.ExitCode.OK;
  }
}
