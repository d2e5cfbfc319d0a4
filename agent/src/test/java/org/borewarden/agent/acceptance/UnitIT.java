package org.borewarden.agent.acceptance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.Callable;
import org.borewarden.agent.peers.PtyPair;
import org.borewarden.agent.peers.TestBroker;
import org.borewarden.agent.peers.TestSubscriber;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The package's unit under a running systemd, in a root of its own. */
class UnitIT {
  private static final String ROOT = "northworks/housings/cell-4";
  private static final Duration LIMIT = Duration.ofSeconds(90);

  /** What a stranger would try from inside, one word a line: what went through. */
  private static final String PROBE =
      """
      [Service]
      Type=oneshot
      Restart=no
      ExecStart=
      ExecStart=/bin/sh -c '\\
        (: > /etc/borewarden/agent.yaml) && echo writes-its-settings; \\
        (: > /usr/lib/borewarden/lib/x.jar) && echo writes-its-program; \\
        (: > /var/lib/x) && echo writes-beside-its-data; \\
        (: > /var/lib/borewarden/x) && echo writes-its-data; \\
        (: < /dev/not-ours) && echo opens-another-device; \\
        (: < /dev/null) && echo opens-null; \\
        ls /home/somebody && echo sees-homes; \\
        [ -e /tmp/left-by-others ] && echo sees-the-tmp-of-others; \\
        unshare --user true && echo makes-name-spaces; \\
        mount -t tmpfs tmpfs /var/lib/borewarden && echo mounts; \\
        grep -q "NoNewPrivs:.1" /proc/self/status && echo gains-nothing; \\
        grep -q "CapEff:.0000000000000000" /proc/self/status && echo has-no-rights; \\
        id -un; true'
      """;

  private static final String WALLS_DOWN =
      """
      [Service]
      ProtectHome=no
      PrivateTmp=no
      RestrictNamespaces=no
      """;

  @TempDir private Path folder;

  @Test
  void itIsReadyReloadedWatchedAndStartedAnewAndItsWallsStand() throws Exception {
    try (TestBroker broker = TestBroker.start();
        PtyPair gauge = PtyPair.plugged(Files.createDirectory(folder.resolve("bore-1")));
        TestSubscriber plant = TestSubscriber.on(broker.port(), ROOT + "/#");
        BootedRoot booted = BootedRoot.boot(Files.createDirectory(folder.resolve("root")))) {
      CleanRoot root = booted.root();
      DebianPackage.install(root);
      String device = Files.readSymbolicLink(gauge.agentEnd()).toString();
      root.run("sh", "-c", "chgrp dialout \"$1\" && chmod 660 \"$1\"", "sh", device);
      root.write("/etc/borewarden/agent.yaml", DebianPackage.agentYaml(broker.port(), device));

      root.run("systemctl", "enable", "--now", "borewarden");
      assertThat(shown(root, "ActiveState,StatusText,NRestarts"))
          .as("started means that it judges")
          .contains("ActiveState=active", "StatusText=judging", "NRestarts=0");
      plant.await(m -> m.topic().endsWith("/heartbeat/cell-4") && m.text().contains("true"));
      Plant.send(gauge, "62.010");
      plant.await(m -> m.topic().endsWith("/verdict/bearing-seat"));

      String rules = root.run("cat", "/etc/borewarden/rules.yaml");
      root.write("/etc/borewarden/rules.yaml", rules.replace("+0.030 mm", "+0.020 mm"));
      root.run("systemctl", "reload", "borewarden");
      untilTheLog(root, "loaded, 1 features", 2);
      Plant.send(gauge, "62.025");
      plant.await(m -> m.topic().endsWith("/hold/cell-4") && m.text().contains("\"hold\":1"));

      String first = mainPid(root);
      root.run("kill", "-STOP", first);
      until("the watchdog's new start", () -> shown(root, "NRestarts").equals("NRestarts=1\n"));
      int before = plant.heard().size();
      until("judging again", () -> shown(root, "StatusText").contains("judging"));
      assertThat(mainPid(root)).isNotEqualTo(first);
      plant.await(
          m ->
              plant.heard().lastIndexOf(m) >= before
                  && m.topic().endsWith("/hold/cell-4")
                  && m.text().contains("\"hold\":1,")
                  && m.text().contains("\"cause\":\"oversize/bearing-seat\"")
                  && m.text().contains("\"cause\":\"unclean-stop\""));

      root.run("systemctl", "stop", "borewarden");
      assertThat(shown(root, "ActiveState,Result")).contains("ActiveState=inactive", "=success");
      theWallsStand(root);
    }
  }

  private static void theWallsStand(CleanRoot root) throws Exception {
    root.run("mkdir", "-p", "/home/somebody/letters", "/run/systemd/system/borewarden.service.d");
    root.run("touch", "/tmp/left-by-others");
    root.write("/run/systemd/system/borewarden.service.d/probe.conf", PROBE);
    String said = probed(root);
    assertThat(words(said))
        .as(said)
        .containsExactly(
            "writes-its-data", "opens-null", "gains-nothing", "has-no-rights", "borewarden");
    assertThat(said).contains("/dev/not-ours: Operation not permitted");

    root.write("/run/systemd/system/borewarden.service.d/walls-down.conf", WALLS_DOWN);
    assertThat(words(probed(root)))
        .as("the probe sees it where a wall is down")
        .contains("sees-homes", "sees-the-tmp-of-others", "makes-name-spaces");
  }

  private static String probed(CleanRoot root) throws Exception {
    root.run("systemctl", "daemon-reload");
    root.run("systemctl", "start", "borewarden");
    String life = root.run("systemctl", "show", "borewarden", "-P", "InvocationID").strip();
    return root.run("journalctl", "_SYSTEMD_INVOCATION_ID=" + life, "--output=cat");
  }

  private static List<String> words(String said) {
    return said.lines().filter(line -> line.matches("[a-z-]+")).toList();
  }

  private static String mainPid(CleanRoot root) throws Exception {
    return root.run("systemctl", "show", "borewarden", "--property=MainPID", "--value").strip();
  }

  private static String shown(CleanRoot root, String properties) throws Exception {
    return root.run("systemctl", "show", "borewarden", "--property=" + properties);
  }

  private static void untilTheLog(CleanRoot root, String words, int times) {
    until(
        words,
        () ->
            root.run("journalctl", "--unit=borewarden", "--output=cat").split(words, -1).length
                > times);
  }

  private static void until(String what, Callable<Boolean> holds) {
    await(what).atMost(LIMIT).until(holds);
  }
}
