package org.borewarden.agent;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFileAttributes;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.borewarden.agent.cli.ReadFiles;
import org.borewarden.agent.config.AgentConfig;
import org.borewarden.agent.config.JournalConfig;
import org.borewarden.agent.journal.Entry;
import org.borewarden.agent.journal.JournalStore;
import org.borewarden.agent.journal.JournalView;
import org.borewarden.demo.controller.Controller;
import org.borewarden.rules.file.yaml.Outcome;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

/** The commands of the command line, against a running agent and a simulated cell. */
class CommandLineTest {
  private static final Duration SOON = Duration.ofSeconds(60);
  private static final Pattern HOLD = Pattern.compile("hold (\\d+), revision (\\d+)");

  @TempDir private Path folder;

  private record Ran(int exit, String out, String err) {}

  @Test
  void aHoldIsTestedSeenAndReleasedFromTheCommandLine() throws Exception {
    try (ServerSocket gauge = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
        Controller cell = Controller.start(Controller.Settings.loopback(Duration.ofMillis(300)))) {
      Path config = config(gauge.getLocalPort(), cell.port());
      ReadFiles files = ReadFiles.of(config);
      assertThat(files.problems()).isEmpty();
      AgentConfig read = ((Outcome.Good<AgentConfig>) files.config()).value();
      try (Wiring agent = Wiring.start(read, new RulesInForce(files))) {
        assertThat(agent).isNotNull();
        await().atMost(SOON).until(() -> status().out().contains("cell-4: run permit, permitted"));
        assertThat(status().out()).contains("next: nothing to do");
        await().atMost(SOON).until(() -> cell.state().permit());
        cell.pressStart();
        await().atMost(SOON).until(() -> cell.state().inCycle());
        proved(cell);
        released();
      }
    }
    Ran recalled = run("ring-recall", "--ring", "R62", "--since", "2026-03-01", "--was", "62 mm");
    assertThat(recalled.exit()).as(recalled.err()).isZero();
    assertThat(recalled.out()).contains("no bore since 2026-03-01T00:00:00Z rested on ring R62");
    Ran unread = run("ring-recall", "--ring", "R62", "--since", "2026-03-01", "--was", "62.0031");
    assertThat(unread.exit()).isEqualTo(CommandLine.ExitCode.USAGE);
    assertThat(unread.err())
        .contains(
            "--was: expected a size with its unit, such as \"62.0031 mm\", found \"62.0031\"");
    Ran verified = run("verify", "--judge");
    assertThat(verified.exit()).as(verified.out() + verified.err()).isZero();
    assertThat(verified.out()).contains("the chain holds", "decisions compared: all as written");
    keptAndPutBack();
    // What was synced is what counts.
    assertThat(journalled()).contains("hold-test-passed", "command-answered", "command-given");
  }

  private void keptAndPutBack() {
    String copy = folder.resolve("copy").toString();
    Ran kept = run("backup", copy);
    assertThat(kept.exit()).as(kept.err()).isZero();
    assertThat(kept.out()).contains("copied to " + copy + ", the chain holds");
    assertThat(run("backup", copy).exit()).isEqualTo(3);
    Ran back = run("restore", copy);
    assertThat(back.exit()).as(back.err()).isZero();
    assertThat(back.out()).contains("journal.replaced-", "adopt-journal --reason");
    assertThat(run("verify", "--judge").exit()).isZero();
    String salvaged = folder.resolve("salvaged").toString();
    Ran all = ran("salvage", copy, salvaged);
    assertThat(all.exit()).as(all.err()).isZero();
    assertThat(all.out()).contains("; 0 lost");
    assertThat(run("send-again", "--from", "1", "--to", "2").exit()).isEqualTo(3);
  }

  private void proved(Controller cell) {
    Ran test = run("test-hold", "--cell", "cell-4", "--who", "k-berg");
    assertThat(test.exit()).as(test.err()).isZero();
    assertThat(test.out()).startsWith("accepted: done, and recorded").contains("recorded under");
    await().atMost(SOON).until(() -> status().out().contains("the cell has stopped for it"));
    assertThat(cell.state().permit()).isFalse();
    assertThat(status().out())
        .contains("cell-4: NO run permit, heard", "because of asked", "by k-berg")
        .contains("next: remedy the cause, then release --cell cell-4 --hold 1 --revision ")
        .contains(" --who PERSON --reason CODE --needed yes|no|unknown");
    Ran notMine = run("send-again", "--from", "1", "--to", "2");
    assertThat(notMine.exit()).isEqualTo(1);
    assertThat(notMine.err()).startsWith("no-right");
    assertThat(run("adopt-journal", "--reason", "moved").err()).startsWith("no-right");
    Ran again = run("test-hold", "--cell", "cell-4");
    assertThat(again.exit()).isEqualTo(1);
    assertThat(again.err()).startsWith("already-pending: the same is already under way");
  }

  private void released() {
    Matcher hold = HOLD.matcher(status().out());
    assertThat(hold.find()).isTrue();
    int revision = Integer.parseInt(hold.group(2));
    Ran older = release(hold.group(1), revision - 1);
    assertThat(older.exit()).isEqualTo(1);
    assertThat(older.err())
        .startsWith("superseded: it changed since you looked; see 'borewarden status' again");
    Ran noCell = run("drain", "--cell", "cell-9");
    assertThat(noCell.exit()).isEqualTo(1);
    assertThat(noCell.err()).contains("(no such cell: cell-9)");
    Ran release = release(hold.group(1), revision);
    assertThat(release.exit()).as(release.err()).isZero();
    await().atMost(SOON).until(() -> status().out().contains("cell-4: run permit, permitted"));
  }

  @Test
  void whereNoAgentRunsThatIsSaid() throws Exception {
    config(1, 1);
    Ran ran = run("status");
    assertThat(ran.exit()).isEqualTo(3);
    assertThat(ran.err())
        .startsWith("no agent answers at " + folder.resolve("run/commands.socket"));
  }

  @Test
  void aConfigWithoutASocketIsToldAsSuch() throws Exception {
    Path config = config(1, 1);
    String text = Files.readString(config, StandardCharsets.UTF_8);
    Files.writeString(config, text.substring(0, text.indexOf("commands:")), StandardCharsets.UTF_8);
    Ran ran = run("status");
    assertThat(ran.exit()).isEqualTo(2);
    assertThat(ran.err()).contains("expected commands.socket, found none");
  }

  @Test
  void whatIsLeftOutOfAReleaseIsNamed() {
    Ran ran = run("release", "--cell", "cell-4");
    assertThat(ran.exit()).isEqualTo(2);
    assertThat(ran.err()).contains("--hold=NUMBER", "--revision=NUMBER", "--needed");
  }

  @Test
  void theHelpOfEachCommandSaysWhatItDoesAndItsExitCodes() {
    for (String name :
        List.of(
            "release",
            "bypass",
            "end-bypass",
            "drain",
            "test-hold",
            "tool-changed",
            "ring-check",
            "mastered",
            "gauge-disturbed",
            "measure-again",
            "next-part",
            "attribute",
            "skip",
            "withdraw-concession",
            "close-batch",
            "ask",
            "step-forward",
            "step-back",
            "rework",
            "challenge",
            "first-off",
            "correct-serial",
            "concession",
            "hand-over",
            "discard",
            "confirm",
            "cell-test",
            "acknowledge",
            "shelve",
            "unshelve",
            "out-of-service",
            "back-in-service",
            "status")) {
      Ran help = ran(name, "--help");
      assertThat(help.exit()).isZero();
      assertThat(help.out())
          .contains(
              "Usage: borewarden " + name, "Exit codes:", "3   no agent answers at the socket");
    }
    assertThat(ran("release", "--help").out()).contains("nothing moves");
  }

  private Ran status() {
    return run("status");
  }

  private Ran release(String hold, int revision) {
    return run(
        "release",
        "--cell",
        "cell-4",
        "--hold",
        hold,
        "--revision",
        Integer.toString(revision),
        "--who",
        "m-alvarez",
        "--reason",
        "hold-path-test",
        "--needed",
        "no");
  }

  private Ran run(String... words) {
    List<String> all = new ArrayList<>(List.of(words));
    all.addAll(List.of("--config", folder.resolve("agent.yaml").toString()));
    return ran(all.toArray(String[]::new));
  }

  private static Ran ran(String... words) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    CommandLine line =
        Main.line().setOut(new PrintWriter(out, true)).setErr(new PrintWriter(err, true));
    int exit = line.execute(words);
    return new Ran(exit, out.toString(), err.toString());
  }

  /** In the test's role, a supervisor, everything can be shown that a person does. */
  private Path config(int gauge, int cell) throws Exception {
    Path mine = Files.writeString(folder.resolve("mine"), "", StandardCharsets.UTF_8);
    String group = Files.readAttributes(mine, PosixFileAttributes.class).group().getName();
    Files.writeString(
        folder.resolve("rules.yaml"),
        """
        part: housing-31
        features:
          - id: bearing-seat
            gauge: bore-1
            nominal: 62.000 mm
            upper: +0.030 mm
            lower: 0 mm
        """,
        StandardCharsets.UTF_8);
    return Files.writeString(
        folder.resolve("agent.yaml"),
        """
        agent: northworks-cell-4
        root: northworks/housings/cell-4
        rules: rules.yaml
        data: data
        gauges:
          - id: bore-1
            tcp: 127.0.0.1:%d
            unit: mm
        cells:
          - id: cell-4
            modbus:
              host: 127.0.0.1
              port: %d
              base: 100
              cell-base: 200
        http: off
        commands:
          socket: run/commands.socket
          groups:
            %s: supervisor
        """
            .formatted(gauge, cell, group),
        StandardCharsets.UTF_8);
  }

  private List<String> journalled() throws Exception {
    Path data = folder.resolve("data");
    try (JournalStore journal =
            JournalStore.open(data, JournalConfig.DEFAULT, "test", Instant::now, System::nanoTime);
        JournalView view = journal.reader()) {
      return view.read(1, 10_000).stream().map(Entry::kind).toList();
    }
  }
}
