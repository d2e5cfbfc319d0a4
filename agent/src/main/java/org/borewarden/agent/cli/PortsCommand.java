package org.borewarden.agent.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code ports}: the serial ports by the names to write into agent.yaml. */
@Command(
    name = "ports",
    description = {
      "Lists the serial ports of this machine, by the names to write into agent.yaml.",
      "A stable name stays with the adapter when it is plugged elsewhere."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {"0:listed, or there is none", "3:the ports cannot be looked at"},
    mixinStandardHelpOptions = true)
public final class PortsCommand implements Callable<Integer> {
  private final Lister lister;

  @Option(
      names = "--stable",
      paramLabel = "FOLDER",
      defaultValue = "/dev/serial/by-id",
      description = "Where the system keeps the stable names (default: ${DEFAULT-VALUE}).")
  private Path stable = Path.of("/dev/serial/by-id");

  @Spec private CommandSpec spec = CommandSpec.create();

  /**
   * A port as it is shown.
   *
   * @param name the name to write
   * @param device the device behind it
   * @param words what the system says of it
   */
  public record Port(String name, String device, String words) {}

  /** Looks at the ports; handed in so that the command line names no adapter. */
  @FunctionalInterface
  public interface Lister {
    /**
     * The ports.
     *
     * @param stable the folder of stable names
     * @return in the order to show
     * @throws IOException when they cannot be looked at
     */
    List<Port> ports(Path stable) throws IOException;
  }

  /**
   * The command.
   *
   * @param lister looks at the ports
   */
  public PortsCommand(Lister lister) {
    this.lister = lister;
  }

  @Override
  public Integer call() {
    PrintWriter out = spec.commandLine().getOut();
    try {
      List<Port> ports = lister.ports(stable);
      for (Port port : ports) {
        String behind = port.name().equals(port.device()) ? "" : " -> " + port.device();
        out.println(port.name() + behind + (port.words().isEmpty() ? "" : "  " + port.words()));
      }
      if (ports.isEmpty()) {
        out.println("no serial port is plugged in");
      }
      return CommandLine.ExitCode.OK;
    } catch (IOException | LinkageError failed) {
      spec.commandLine().getErr().println("the ports cannot be looked at: " + failed.getMessage());
      return RunCommand.CANNOT_START;
    }
  }
}
