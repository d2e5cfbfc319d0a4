package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import org.borewarden.agent.peers.Peers;
import org.borewarden.agent.peers.PtyPair;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The Debian package on a root of its own: installed, the unit's command run as the unit's user,
 * upgraded with a hold open, its copy restored on a second root, removed, purged. What takes a
 * running systemd is {@link UnitIT}'s; what the unit's walls are worth by systemd's own table
 * stands here.
 */
class PackageIT {
  private static final Path UNIT = Path.of("../deploy/systemd/borewarden.service");
  private static final String ROOT = "northworks/housings/cell-4";
  private static final String DATA = "/var/lib/borewarden";
  private static final List<String> OPEN_HOLD =
      List.of("\"hold\":1,", "\"permit\":false", "\"cause\":\"oversize/bearing-seat\"");
  private static final Pattern JOURNAL = Pattern.compile("\"journal\":\"([^\"]+)\"");

  @TempDir private Path rootFolder;

  @TempDir private Path secondFolder;

  @TempDir private Path folder;

  @Test
  void itIsInstalledRunsAsItsUserIsUpgradedWithAHoldOpenAndGoesWithoutTheJournal()
      throws Exception {
    try (TestBroker broker = TestBroker.start();
        PtyPair gauge = PtyPair.plugged(Files.createDirectory(folder.resolve("bore-1")));
        TestSubscriber plant = TestSubscriber.on(broker.port(), ROOT + "/#");
        CleanRoot root = CleanRoot.build(rootFolder)) {
      assertThat(DebianPackage.install(root))
          .contains("borewarden: not started yet.", "borewarden check");
      assertThat(root.run("stat", "-c", "%U:%G %a", DATA, "/etc/borewarden/agent.yaml"))
          .isEqualTo("borewarden:borewarden 750\nroot:borewarden 640\n");
      assertThat(root.run("borewarden", "check", "--config", "/etc/borewarden/agent.yaml"))
          .as("the shipped pair passes")
          .contains("agent northworks-cell-4");
      String device = Files.readSymbolicLink(gauge.agentEnd()).toString();
      root.run("sh", "-c", "chgrp dialout \"$1\" && chmod 660 \"$1\"", "sh", device);
      root.write("/etc/borewarden/agent.yaml", withCommands(broker.port(), device));

      try (Unit unit = Unit.start(root, folder.resolve("first.log"))) {
        plant.await(m -> m.topic().endsWith("/heartbeat/cell-4") && m.text().contains("true"));
        Plant.send(gauge, "62.010", "62.090");
        plant.await(m -> m.topic().endsWith("/hold/cell-4") && m.text().contains("\"hold\":1"));
        assertThat(unit.stop()).as(unit.said()).isZero();
      }
      assertThat(DebianPackage.install(root)).as("an upgrade").doesNotContain("not started yet");
      assertThat(root.run("cat", "/etc/borewarden/agent.yaml")).as("kept").contains(device);

      int before = plant.heard().size();
      try (Unit unit = Unit.start(root, folder.resolve("second.log"))) {
        TestSubscriber.Heard hold = laterHold(plant, before, "\"state\":\"requested\"");
        assertThat(hold.text()).contains(OPEN_HOLD).doesNotContain("unclean-stop");
        // While it runs, as a nightly job would.
        assertThat(root.run("borewarden", "backup", "-c", "/etc/borewarden/agent.yaml", "/copy"))
            .contains("copied to /copy, the chain holds");
        assertThat(unit.stop()).as(unit.said()).isZero();
      }
      restoredOnASecondRoot(root, plant, withCommands(broker.port(), device));
      assertThat(root.run("sh", "-c", "find " + DATA + " ! -user borewarden"))
          .as("it writes as its user")
          .isEmpty();

      root.run("dpkg", "--remove", "borewarden");
      assertThat(root.has("/usr/lib/borewarden/lib")).isFalse();
      assertThat(root.has("/usr/bin/borewarden")).isFalse();
      assertThat(root.has("/etc/borewarden/agent.yaml")).isTrue();
      assertThat(root.run("dpkg", "--purge", "borewarden")).contains("the journal stays");
      assertThat(root.has("/etc/borewarden")).isFalse();
      assertThat(root.has(DATA + "/journal")).isTrue();
    }
  }

  /** The disk is lost: another machine, the package, the copy. */
  private void restoredOnASecondRoot(CleanRoot first, TestSubscriber plant, String agentYaml)
      throws Exception {
    String journal = value(plant.heard(), "/agent", JOURNAL);
    Path copy = folder.resolve("copy.tar");
    first.copyOut("/copy", copy);
    try (CleanRoot second = CleanRoot.build(secondFolder)) {
      DebianPackage.install(second);
      second.write("/etc/borewarden/agent.yaml", agentYaml);
      second.copyIn(copy, "/copy.tar");
      second.run("tar", "-xf", "/copy.tar", "-C", "/");
      assertThat(second.run("borewarden", "restore", "-c", "/etc/borewarden/agent.yaml", "/copy"))
          .contains("restored; start the agent and adopt it");
      second.run("chown", "-R", "borewarden:borewarden", DATA);
      second.run("borewarden", "verify", "-c", "/etc/borewarden/agent.yaml");
      int before = plant.heard().size();
      try (Unit unit = Unit.start(second, folder.resolve("third.log"))) {
        TestSubscriber.Heard hold = laterHold(plant, before, "not-adopted");
        assertThat(hold.text()).as("no permit from a copy until it is adopted").contains(OPEN_HOLD);
        second.run(
            "borewarden",
            "adopt-journal",
            "-c",
            "/etc/borewarden/agent.yaml",
            "--reason=restored",
            "--who=o-adeyemi");
        assertThat(laterHold(plant, before, "\"conditions\":[]").text())
            .as("adopted, and the hold that was open is open, with its number")
            .contains(OPEN_HOLD);
        List<TestSubscriber.Heard> heard = plant.heard();
        assertThat(value(heard.subList(before, heard.size()), "/agent", JOURNAL))
            .as("it is another journal from here on")
            .isNotEqualTo(journal);
        assertThat(unit.stop()).as(unit.said()).isZero();
      }
    }
  }

  private static TestSubscriber.Heard laterHold(TestSubscriber plant, int before, String part)
      throws Exception {
    return plant.await(
        m ->
            plant.heard().lastIndexOf(m) >= before
                && m.topic().endsWith("/hold/cell-4")
                && m.text().contains(part));
  }

  private static String value(List<TestSubscriber.Heard> heard, String topic, Pattern of) {
    return heard.stream()
        .filter(m -> m.topic().equals(ROOT + topic))
        .flatMap(m -> of.matcher(m.text()).results())
        .reduce((a, b) -> b)
        .orElseThrow()
        .group(1);
  }

  @Test
  void theUnitsExposureIsAtMostOneAndAHalf() throws Exception {
    Peers.require("systemd-analyze");
    // Since systemd 250; an older one does not know the words.
    String said =
        Client.run(
            "systemd-analyze",
            "security",
            "--offline=true",
            "--threshold=15",
            UNIT.toAbsolutePath().normalize().toString());
    assertThat(said).contains("Overall exposure level for borewarden.service: 1.");
  }

  private static String withCommands(int broker, String device) {
    return DebianPackage.agentYaml(broker, device)
        + """
        commands:
          socket: /run/borewarden/commands.socket
          groups: {root: it}
        """;
  }

  /** The unit's command as systemd would start it: its user, its groups, its folders. */
  private static final class Unit implements AutoCloseable {
    private final Process process;
    private final Path log;

    private Unit(Process process, Path log) {
      this.process = process;
      this.log = log;
    }

    static Unit start(CleanRoot root, Path log) throws Exception {
      String user = setting("User");
      root.run("install", "-d", "-o", user, "-g", setting("Group"), "-m", "750", "/run/borewarden");
      List<String> command = new ArrayList<>();
      command.addAll(List.of("setpriv", "--reuid=" + user, "--regid=" + setting("Group")));
      command.addAll(List.of("--groups=" + setting("SupplementaryGroups"), "--no-new-privs"));
      command.addAll(List.of("--bounding-set=-all", "--inh-caps=-all"));
      command.addAll(List.of(setting("ExecStart").split(" ", -1)));
      ProcessBuilder builder =
          new ProcessBuilder(root.inside(command.toArray(String[]::new)))
              .redirectErrorStream(true)
              .redirectOutput(log.toFile());
      builder.environment().put("JAVA_HOME", System.getProperty("java.home"));
      return new Unit(builder.start(), log);
    }

    private static String setting(String key) throws IOException {
      return Files.readAllLines(UNIT, StandardCharsets.UTF_8).stream()
          .filter(line -> line.startsWith(key + "="))
          .map(line -> line.substring(key.length() + 1))
          .findFirst()
          .orElseThrow();
    }

    /** Every program between us and the agent gave it its own place, so that it is the process. */
    int stop() throws InterruptedException {
      process.destroy();
      assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
      return process.exitValue();
    }

    String said() throws IOException {
      return Files.readString(log, StandardCharsets.UTF_8);
    }

    @Override
    public void close() {
      process.destroyForcibly().onExit().join();
    }
  }
}
