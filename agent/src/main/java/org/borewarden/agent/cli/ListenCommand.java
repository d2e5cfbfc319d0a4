package org.borewarden.agent.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code listen}: shows what a gauge sends and the keys of agent.yaml that read it. */
@Command(
    name = "listen",
    description = {
      "Shows the bytes that come over a port, and then the keys of agent.yaml that would read them.",
      "Press the gauge's key a few times meanwhile. The agent must not have the port open."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:keys are printed",
      "1:nothing came, or nothing could be made of it",
      "3:the port cannot be opened"
    },
    mixinStandardHelpOptions = true)
public final class ListenCommand implements Callable<Integer> {
  /** The most bytes that are kept for the guess. */
  private static final int MOST_BYTES = 65_536;

  private static final int SHOWN_A_LINE = 16;

  private final Opener opener;

  @Parameters(paramLabel = "PORT", description = "A serial device, or host:port of a TCP server.")
  private String port = "";

  @Option(
      names = "--baud",
      paramLabel = "RATE",
      defaultValue = "9600",
      description = "Bits per second (default: ${DEFAULT-VALUE}).")
  private int baud = 9_600;

  @Option(
      names = "--seconds",
      paramLabel = "SECONDS",
      defaultValue = "20",
      description = "How long to listen, 1 to 3600 (default: ${DEFAULT-VALUE}).")
  private int seconds = 20;

  @Spec private CommandSpec spec = CommandSpec.create();

  /** A port that is open. */
  public interface Wire extends AutoCloseable {
    /**
     * Waits for bytes, about a tenth of a second.
     *
     * @param buffer takes them
     * @return how many came; 0 when the line was quiet; negative when the device is gone
     */
    int read(byte[] buffer);

    @Override
    void close();
  }

  /** Opens a port; handed in so that the command line names no adapter. */
  @FunctionalInterface
  public interface Opener {
    /**
     * Opens a port.
     *
     * @param port a device or host:port
     * @param baud bits per second, for a device; eight data bits, no parity
     * @return the open port
     * @throws IOException when it cannot be opened; the message is for a person
     */
    Wire open(String port, int baud) throws IOException;
  }

  /**
   * The command.
   *
   * @param opener opens a port
   */
  public ListenCommand(Opener opener) {
    this.opener = opener;
  }

  @Override
  public Integer call() {
    PrintWriter out = spec.commandLine().getOut();
    try (Wire wire = opener.open(port, baud)) {
      out.println(
          "listening on " + port + " for " + seconds + " s; press the gauge's key a few times");
      out.flush();
      LineGuess guess = LineGuess.of(heard(wire, out));
      guess.words().forEach(out::println);
      if (guess.keys().isEmpty()) {
        return CommandLine.ExitCode.SOFTWARE;
      }
      out.println();
      out.println("gauges:");
      out.println("  - id: bore-1");
      out.println("    " + link(guess));
      guess.keys().forEach(key -> out.println("    " + key));
      return CommandLine.ExitCode.OK;
    } catch (IOException failed) {
      spec.commandLine().getErr().println(failed.getMessage());
      return RunCommand.CANNOT_START;
    }
  }

  private String link(LineGuess guess) {
    if (isTcp(port)) {
      return "tcp: " + port;
    }
    String line = guess.line().isEmpty() ? "" : ", " + guess.line();
    return "serial: {device: " + port + ", baud: " + baud + line + "}";
  }

  /**
   * Whether a port is a TCP server's.
   *
   * @param port as the command line names it
   * @return false for a device
   */
  public static boolean isTcp(String port) {
    return !port.startsWith("/") && port.matches(".+:[0-9]{1,5}");
  }

  /** What came between two silences, shown as it comes. */
  private List<String> heard(Wire wire, PrintWriter out) {
    List<String> chunks = new ArrayList<>();
    StringBuilder chunk = new StringBuilder();
    byte[] buffer = new byte[1024];
    long from = System.nanoTime();
    int kept = 0;
    int length = 0;
    while (length >= 0
        && kept < MOST_BYTES
        && System.nanoTime() - from < Duration.ofSeconds(seconds).toNanos()) {
      length = wire.read(buffer);
      if (length > 0) {
        kept += length;
        chunk.append(new String(buffer, 0, length, StandardCharsets.ISO_8859_1));
      } else if (chunk.length() > 0) {
        show(chunk.toString(), out);
        chunks.add(chunk.toString());
        chunk.setLength(0);
      }
    }
    if (chunk.length() > 0) {
      show(chunk.toString(), out);
      chunks.add(chunk.toString());
    }
    return chunks;
  }

  private static void show(String bytes, PrintWriter out) {
    for (int from = 0; from < bytes.length(); from += SHOWN_A_LINE) {
      String part = bytes.substring(from, Math.min(bytes.length(), from + SHOWN_A_LINE));
      StringBuilder hex = new StringBuilder();
      StringBuilder text = new StringBuilder();
      for (int i = 0; i < part.length(); i++) {
        char c = part.charAt(i);
        hex.append(String.format(Locale.ROOT, "%02X ", (int) c));
        text.append(c >= ' ' && c <= '~' ? c : '.');
      }
      out.println(String.format(Locale.ROOT, "%-" + 3 * SHOWN_A_LINE + "s %s", hex, text));
    }
    out.flush();
  }
}
