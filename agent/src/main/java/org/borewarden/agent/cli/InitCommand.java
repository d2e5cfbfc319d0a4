package org.borewarden.agent.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** {@code init}: writes a first agent.yaml and rules.yaml that pass {@code check}. */
@Command(
    name = "init",
    description = {
      "Writes a first agent.yaml and rules.yaml, with a word on each key, and checks them.",
      "What no option says is asked for; an empty answer takes what stands in brackets."
    },
    exitCodeListHeading = "Exit codes:%n",
    exitCodeList = {
      "0:both files are written, and good",
      "2:an answer is not understood, or an option is missing; nothing is written",
      "3:a file is there already, or the folder cannot be written"
    },
    mixinStandardHelpOptions = true)
public final class InitCommand implements Callable<Integer> {
  private static final int FAILED = 3;
  private static final String NONE = "none";

  private final BufferedReader answers;

  @Option(
      names = "--folder",
      paramLabel = "FOLDER",
      defaultValue = ".",
      description = "Where to write (default: here).")
  private Path folder = Path.of(".");

  @Option(names = "--agent", paramLabel = "ID", description = "The agent's id.")
  private Optional<String> agent = Optional.empty();

  @Option(names = "--root", paramLabel = "TOPIC", description = "The root of its topics.")
  private Optional<String> root = Optional.empty();

  @Option(
      names = "--gauge",
      paramLabel = "PORT",
      description = "A serial device as 'ports' lists it, or host:port.")
  private Optional<String> gauge = Optional.empty();

  @Option(
      names = "--unit",
      paramLabel = "UNIT",
      description = "What the gauge shows: mm, um or in.")
  private Optional<String> unit = Optional.empty();

  @Option(names = "--broker", paramLabel = "URL", description = "mqtt://host:port, or none.")
  private Optional<String> broker = Optional.empty();

  @Option(
      names = "--controller",
      paramLabel = "HOST",
      description = "The cell's controller (Modbus TCP), or none.")
  private Optional<String> controller = Optional.empty();

  @Option(names = "--part", paramLabel = "NUMBER", description = "The part number.")
  private Optional<String> part = Optional.empty();

  @Option(names = "--feature", paramLabel = "ID", description = "A name for the bore.")
  private Optional<String> feature = Optional.empty();

  @Option(names = "--nominal", paramLabel = "SIZE", description = "Such as \"62.000 mm\".")
  private Optional<String> nominal = Optional.empty();

  @Option(names = "--upper", paramLabel = "DEVIATION", description = "Such as \"+0.030 mm\".")
  private Optional<String> upper = Optional.empty();

  @Option(names = "--lower", paramLabel = "DEVIATION", description = "Such as 0 or \"-0.010 mm\".")
  private Optional<String> lower = Optional.empty();

  @Spec private CommandSpec spec = CommandSpec.create();

  /**
   * The command.
   *
   * @param answers where a person types
   */
  public InitCommand(BufferedReader answers) {
    this.answers = answers;
  }

  @Override
  public Integer call() throws IOException {
    CommandLine line = spec.commandLine();
    PrintWriter err = line.getErr();
    for (String name : List.of("agent.yaml", "rules.yaml")) {
      if (Files.exists(folder.resolve(name))) {
        err.println(folder.resolve(name) + " is there already; nothing is written");
        return FAILED;
      }
    }
    FirstFiles files;
    try {
      files = files();
    } catch (MissingException missing) {
      err.println(missing.getMessage());
      return CommandLine.ExitCode.USAGE;
    }
    try {
      return write(files, line);
    } catch (IOException e) {
      err.println("cannot write to " + folder + ": " + e.getMessage());
      return FAILED;
    }
  }

  private FirstFiles files() throws IOException, MissingException {
    String id = given("agent", agent, "What is the agent called?", Optional.of("agent-1"));
    return new FirstFiles(
        id,
        given(
            "root", root, "Below which topic does it publish?", Optional.of("plant/line-1/" + id)),
        given("gauge", gauge, "At which port is the gauge?", Optional.of("/dev/ttyUSB0")),
        given("unit", unit, "What does it show, mm, um or in?", Optional.of("mm")),
        orNone(given("broker", broker, "Where is the broker?", Optional.of(NONE))),
        orNone(
            given("controller", controller, "Where is the cell's controller?", Optional.of(NONE))),
        given("part", part, "What is the part number?", Optional.of("part-1")),
        given("feature", feature, "What is the bore called?", Optional.of("bore-1")),
        given("nominal", nominal, "Its nominal size, such as 62.000 mm?", Optional.empty()),
        given("upper", upper, "Its upper deviation, such as +0.030 mm?", Optional.empty()),
        given("lower", lower, "Its lower deviation, such as 0?", Optional.of("0")));
  }

  private String given(
      String name, Optional<String> option, String question, Optional<String> usual)
      throws IOException, MissingException {
    if (option.isPresent()) {
      return option.get();
    }
    PrintWriter out = spec.commandLine().getOut();
    out.print(question + usual.map(u -> " [" + u + "]").orElse("") + " ");
    out.flush();
    String answer = Optional.ofNullable(answers.readLine()).orElse("").strip();
    if (!answer.isEmpty()) {
      return answer;
    }
    return usual.orElseThrow(() -> new MissingException("expected --" + name + ", or an answer"));
  }

  private static Optional<String> orNone(String answer) {
    return answer.equals(NONE) ? Optional.empty() : Optional.of(answer);
  }

  /** Both are written aside and checked before they are there. */
  private int write(FirstFiles files, CommandLine line) throws IOException {
    Files.createDirectories(folder);
    Path aside = Files.createTempDirectory(folder, ".init-");
    Path agentYaml = aside.resolve("agent.yaml");
    Path rulesYaml = aside.resolve("rules.yaml");
    try {
      Files.writeString(agentYaml, files.agentYaml(), StandardCharsets.UTF_8);
      Files.writeString(rulesYaml, files.rulesYaml(), StandardCharsets.UTF_8);
      String here = aside.toAbsolutePath().normalize() + "/";
      List<String> problems = ReadFiles.of(agentYaml).problems();
      if (!problems.isEmpty()) {
        problems.forEach(
            problem -> line.getErr().println(problem.replace(here, "").replace(aside + "/", "")));
        line.getErr().println("nothing is written");
        return CommandLine.ExitCode.USAGE;
      }
      Files.move(rulesYaml, folder.resolve("rules.yaml"));
      Files.move(agentYaml, folder.resolve("agent.yaml"));
    } finally {
      Files.deleteIfExists(agentYaml);
      Files.deleteIfExists(rulesYaml);
      Files.delete(aside);
    }
    Path written = folder.resolve("agent.yaml").normalize();
    line.getOut().println("written: " + written + " and rules.yaml beside it; both are good");
    line.getOut()
        .println("next: borewarden check -c " + written + ", then borewarden run -c " + written);
    return CommandLine.ExitCode.OK;
  }

  /** Neither an option nor an answer. */
  private static final class MissingException extends Exception {
    private static final long serialVersionUID = 1L;

    MissingException(String message) {
      super(message);
    }
  }
}
