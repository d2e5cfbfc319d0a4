package org.borewarden.agent.cli;

import java.nio.file.Path;
import java.util.Optional;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.AgentFile;
import org.borewarden.rules.file.yaml.Outcome;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/**
 * What every command has that talks to the running agent: where its socket lies (named, or read
 * from agent.yaml), the exit codes unless the command has others, and help.
 */
@Command(
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:accepted, and recorded",
      "1:refused; the answer is printed",
      "2:the command line or agent.yaml is wrong",
      "3:no agent answers at the socket"
    },
    mixinStandardHelpOptions = true)
final class AgentSocket {
  @Option(
      names = {"-c", "--config"},
      paramLabel = "FILE",
      defaultValue = "agent.yaml",
      description = "The agent's config file (default: ${DEFAULT-VALUE}); it names the socket.")
  private Path config = Path.of("agent.yaml");

  @Option(
      names = {"-s", "--socket"},
      paramLabel = "SOCKET",
      description = "The agent's socket, for those who may not read the config file.")
  private Optional<Path> socket = Optional.empty();

  @Spec(Spec.Target.MIXEE)
  private CommandSpec mixee = CommandSpec.create();

  AgentSocket() {}

  /** The command that this is part of. */
  CommandLine line() {
    return mixee.commandLine();
  }

  /** The socket; or else what is wrong, for a person. */
  Path find() throws UnusableException {
    if (socket.isPresent()) {
      return socket.get();
    }
    Outcome<AgentConfig> read = AgentFile.read(config);
    if (read instanceof Outcome.Good<AgentConfig> good) {
      return good.value()
          .commands()
          .socket()
          .orElseThrow(
              () ->
                  new UnusableException(
                      config + ": expected commands.socket, found none: the agent has no socket"));
    }
    throw new UnusableException(
        String.join(
            System.lineSeparator(),
            ((Outcome.Refused<AgentConfig>) read)
                .problems().stream().map(Object::toString).toList()));
  }

  /** The config file does not say where the socket is. */
  static final class UnusableException extends Exception {
    private static final long serialVersionUID = 1L;

    UnusableException(String message) {
      super(message);
    }
  }
}
