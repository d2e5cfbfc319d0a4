package org.borewarden.agent.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.rules.file.yaml.Outcome;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code run}: runs the agent until it is asked to stop. */
@Command(
    name = "run",
    description = {
      "Runs the agent until it is asked to stop (SIGTERM or SIGINT).",
      "Wrong rules do not stop it: it gives no permit and says why."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:stopped on request",
      "2:something is wrong with agent.yaml",
      "3:the data folder, an address or a key cannot be used"
    },
    mixinStandardHelpOptions = true)
public final class RunCommand implements Callable<Integer> {
  /** Exit code: the surroundings do not let the agent start. */
  static final int CANNOT_START = 3;

  private final Runner runner;

  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      defaultValue = "agent.yaml",
      description = "The config file (default: ${DEFAULT-VALUE}); it names the rules file.")
  private Path config = Path.of("agent.yaml");

  @Spec private CommandSpec spec = CommandSpec.create();

  /** Runs an agent; handed in so that the command line names no adapter. */
  @FunctionalInterface
  public interface Runner {
    /**
     * Runs until the process is asked to stop.
     *
     * @param config what agent.yaml says
     * @param files both files as they were read
     * @throws Exception when the agent cannot start; the message is for a person
     */
    void run(AgentConfig config, ReadFiles files) throws Exception;
  }

  /**
   * The command.
   *
   * @param runner runs an agent
   */
  public RunCommand(Runner runner) {
    this.runner = runner;
  }

  @Override
  public Integer call() {
    ReadFiles files = ReadFiles.of(config);
    PrintWriter err = spec.commandLine().getErr();
    files.problems().forEach(err::println);
    if (!(files.config() instanceof Outcome.Good<AgentConfig> good)) {
      return CommandLine.ExitCode.USAGE;
    }
    try {
      runner.run(good.value(), files);
      return CommandLine.ExitCode.OK;
    } catch (Exception e) {
      err.println("cannot start: " + e.getMessage());
      return CANNOT_START;
    }
  }
}
