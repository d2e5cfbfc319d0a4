package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringReader;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystem;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.borewarden.agent.cli.InitCommand;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** The commands of somebody's first hour and of a call for help. */
class FirstHourTest {
  @TempDir private Path folder;

  private record Ran(int exit, String out, String err) {}

  @Test
  void initWritesAPairThatPassesCheckFromItsOptionsAlone() throws Exception {
    Ran ran =
        init(
            "",
            "--agent=northworks-cell-4",
            "--root=northworks/housings/cell-4",
            "--gauge=192.168.10.30:4001",
            "--unit=mm",
            "--broker=mqtt://broker.northworks.example:1883",
            "--controller=192.168.10.20",
            "--part=housing-31",
            "--feature=bearing-seat",
            "--nominal=62.000 mm",
            "--upper=+0.030 mm",
            "--lower=-0.010 mm");
    assertThat(ran.exit()).as(ran.err()).isZero();
    assertThat(ran.out()).startsWith("written: ").contains("next: borewarden check -c ");
    String text = Files.readString(folder.resolve("agent.yaml"), StandardCharsets.UTF_8);
    assertThat(text)
        .contains("# Who the agent is", "    tcp: \"192.168.10.30:4001\"", "    modbus: ");
    Ran check = run("check", "--config", folder.resolve("agent.yaml").toString());
    assertThat(check.exit()).as(check.err()).isZero();
    assertThat(check.out()).contains("agent northworks-cell-4, topics below northworks/housings");
  }

  @Test
  void initAsksForWhatNoOptionSays() throws Exception {
    Ran ran = init("\n\n/dev/serial/by-id/usb-1\nin\n\n\n\n\n0.8750 in\n+0.0012 in\n\n");
    assertThat(ran.exit()).as(ran.err()).isZero();
    assertThat(ran.out()).contains("What is the agent called? [agent-1] ", "upper deviation, such");
    assertThat(Files.readString(folder.resolve("rules.yaml"), StandardCharsets.UTF_8))
        .contains("part: part-1", "nominal: 0.8750 in", "upper: +0.0012 in", "lower: 0\n");
    assertThat(Files.readString(folder.resolve("agent.yaml"), StandardCharsets.UTF_8))
        .contains("serial: /dev/serial/by-id/usb-1", "#broker: ", "#cells:");
    assertThat(run("check", "--config", folder.resolve("agent.yaml").toString()).exit()).isZero();
  }

  @Test
  void initWritesNothingWhereAnAnswerIsWrongOrMissingOrAFileIsThere() throws Exception {
    Ran wrong = init("", "--nominal=62.000", "--upper=+0.030 mm");
    assertThat(wrong.exit()).isEqualTo(2);
    assertThat(wrong.err())
        .contains("rules.yaml:7:14 ", "expected a size with its unit", "nothing is written");
    Ran missing = init("", "--nominal=62.000 mm");
    assertThat(missing.exit()).isEqualTo(2);
    assertThat(missing.err()).contains("expected --upper, or an answer");
    assertThat(names()).isEmpty();
    Files.writeString(folder.resolve("rules.yaml"), "mine", StandardCharsets.UTF_8);
    assertThat(init("", "--nominal=62.000 mm", "--upper=+0.030 mm").err())
        .contains("rules.yaml is there already; nothing is written");
    assertThat(Files.readString(folder.resolve("rules.yaml"))).isEqualTo("mine");
  }

  @Test
  void anAnswerThatWouldBeYamlOfItsOwnIsATextHere() throws Exception {
    Ran ran = init("", "--nominal=62.000 mm", "--upper=+0.030 mm", "--part=x\": {a: b} #");
    assertThat(ran.exit()).as(ran.err()).isZero();
    assertThat(Files.readString(folder.resolve("rules.yaml"), StandardCharsets.UTF_8))
        .contains("part: \"x\\\": {a: b} #\"\n");
  }

  @Test
  void supportGathersWhatHelpsAndNoSecret() throws Exception {
    Files.writeString(
        folder.resolve("agent.yaml"),
        """
        agent: northworks-cell-4
        root: northworks/housings/cell-4
        rules: rules.yaml
        data: data
        broker:
          url: mqtt://127.0.0.1:1
          user: user-of-cell-4
          client-id: id-of-cell-4
        gauges:
          - {id: bore-1, tcp: 127.0.0.1:1, unit: mm}
        http: off
        commands:
          socket: run/commands.socket
          groups: {group-of-leads: supervisor}
        """,
        StandardCharsets.UTF_8);
    Files.writeString(folder.resolve("rules.yaml"), "part: housing-31\n", StandardCharsets.UTF_8);
    Path zip = folder.resolve("help.zip");
    Ran ran = run("support", zip.toString(), "--config", folder.resolve("agent.yaml").toString());
    assertThat(ran.exit()).as(ran.err()).isZero();
    Map<String, String> parts = unzipped(zip);
    assertThat(parts)
        .containsOnlyKeys(
            "machine.txt",
            "agent.yaml",
            "rules.yaml",
            "check.txt",
            "holds.json",
            "metrics.txt",
            "journal.txt");
    assertThat(parts.get("check.txt")).contains("rules.yaml:1:", "features");
    assertThat(parts.get("holds.json")).startsWith("no agent answers");
    assertThat(parts.get("metrics.txt")).isEqualTo("http is off in agent.yaml");
    assertThat(parts.get("machine.txt")).contains("java.version: ", "version: ");
    assertThat(parts.get("agent.yaml")).contains("user: hidden", "gauges:", "socket: run/");
    assertThat(String.join("\n", parts.values()))
        .doesNotContain("user-of-cell-4", "id-of-cell-4", "group-of-leads");
    assertThat(run("support", zip.toString()).exit()).as("never over a file").isEqualTo(3);
  }

  @Test
  void bashCompletesTheNamesOfCommandsAndOptions() throws Exception {
    Path script = folder.resolve("completion.sh");
    Ran ran = run("generate-completion");
    assertThat(ran.exit()).isZero();
    Files.writeString(script, ran.out(), StandardCharsets.UTF_8);
    String complete =
        "source \"$1\"; COMP_WORDS=(borewarden %s); COMP_CWORD=%d; "
            + "_complete_borewarden; echo \"${COMPREPLY[@]}\"";
    assertThat(bash(script, complete.formatted("rele", 1))).isEqualTo("release");
    assertThat(bash(script, complete.formatted("release --rev", 2))).contains("--revision");
  }

  private static String bash(Path script, String line) throws Exception {
    Process bash =
        new ProcessBuilder(Peers.require("bash").toString(), "-c", line, "bash", script.toString())
            .redirectErrorStream(true)
            .start();
    String said = new String(bash.getInputStream().readAllBytes(), StandardCharsets.UTF_8).strip();
    assertThat(bash.waitFor()).as(said).isZero();
    return said;
  }

  private static Map<String, String> unzipped(Path zip) throws IOException {
    Map<String, String> parts = new LinkedHashMap<>();
    try (FileSystem inside = FileSystems.newFileSystem(zip);
        Stream<Path> files = Files.list(inside.getPath("borewarden-support"))) {
      for (Path file : files.toList()) {
        parts.put(file.getFileName().toString(), Files.readString(file, StandardCharsets.UTF_8));
      }
    }
    return parts;
  }

  private List<String> names() throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      return files.map(file -> file.getFileName().toString()).toList();
    }
  }

  private Ran init(String answers, String... options) {
    List<String> words = new ArrayList<>(List.of(options));
    words.add("--folder=" + folder);
    return ran(
        new CommandLine(new InitCommand(new BufferedReader(new StringReader(answers)))),
        words.toArray(String[]::new));
  }

  private static Ran run(String... words) {
    return ran(Main.line(), words);
  }

  private static Ran ran(CommandLine line, String... words) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int exit =
        line.setOut(new PrintWriter(out, true)).setErr(new PrintWriter(err, true)).execute(words);
    return new Ran(exit, out.toString(), err.toString());
  }
}
