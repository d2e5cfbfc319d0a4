package org.borewarden.agent.acceptance;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.stream.Stream;
import org.awaitility.core.ConditionTimeoutException;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.Assumptions;

/**
 * A {@link CleanRoot} whose first process is this machine's systemd, in name spaces and a control
 * group of its own, up to basic.target. It shares the network and the pseudo terminals with the
 * machine, and may neither set the clock, load a module nor write the kernel's settings.
 */
final class BootedRoot implements AutoCloseable {
  private static final Duration LIMIT = Duration.ofSeconds(60);
  private static final Path SYSTEMD = Path.of("/lib/systemd/systemd");

  /** A folder of devices as a machine's, with the standard ones and one that is none of ours. */
  private static final String DEVICES =
      "&& mount -t tmpfs tmpfs dev && mkdir dev/pts dev/shm && mount --bind /dev/pts dev/pts "
          + "&& mount -t tmpfs tmpfs dev/shm && ln -s pts/ptmx dev/ptmx "
          + "&& mknod -m 666 dev/null c 1 3 && mknod -m 666 dev/zero c 1 5 "
          + "&& mknod -m 666 dev/full c 1 7 && mknod -m 666 dev/random c 1 8 "
          + "&& mknod -m 666 dev/urandom c 1 9 && mknod -m 666 dev/tty c 5 0 "
          + "&& mknod -m 666 dev/not-ours c 10 237 ";

  private static final String BOOT =
      CleanRoot.LAYERS
          + "&& cd \"$1/root\" && mount -t tmpfs tmpfs tmp "
          + "&& mount --bind proc/sys proc/sys && mount -o remount,bind,ro proc/sys "
          + "&& mount -t sysfs -o ro sysfs sys && mount -t cgroup2 cgroup2 sys/fs/cgroup "
          + DEVICES
          + "&& mkdir -p run/old && pivot_root . run/old && umount -l /run/old && echo built "
          + "&& export container=test "
          + "&& exec setpriv --bounding-set=-sys_module,-sys_time,-sys_boot "
          + "/lib/systemd/systemd --system --log-target=console --show-status=no --unit=basic.target";

  private final CleanRoot root;
  private final Path group;

  private BootedRoot(CleanRoot root, Path group) {
    this.root = root;
    this.group = group;
  }

  /** Boots one; where this machine does not let us, the test is skipped. */
  static BootedRoot boot(Path folder) throws IOException, InterruptedException {
    Peers.require("unshare", "nsenter", "dpkg", "setpriv", "pivot_root");
    Assumptions.assumeTrue(Files.isExecutable(SYSTEMD), "skipped: no " + SYSTEMD);
    Path group = groups().resolve("borewarden-test-" + ProcessHandle.current().pid());
    Process holder =
        CleanRoot.holder(
            "sh",
            "-c",
            "mkdir \"$1\" && echo $$ > \"$1/cgroup.procs\" && exec unshare --pid --fork --kill-child "
                + "--mount --cgroup --ipc --uts --propagation private sh -c \"$2\" sh \"$3\"",
            "sh",
            group,
            BOOT,
            folder);
    // Nobody reads what systemd says, so that it must not wait for a reader.
    Thread drain = new Thread(() -> drain(holder), "systemd's words");
    drain.setDaemon(true);
    drain.start();
    String first = Long.toString(holder.children().findFirst().orElseThrow().pid());
    List<String> enter =
        List.of("nsenter", "--target", first, "--mount", "--pid", "--cgroup", "--ipc", "--uts");
    BootedRoot booted = new BootedRoot(new CleanRoot(holder, enter), group);
    try {
      await().atMost(LIMIT).until(booted::isUp);
    } catch (ConditionTimeoutException lame) {
      booted.close();
      Assumptions.abort("skipped: systemd does not come up in name spaces of this machine");
    }
    return booted;
  }

  private static void drain(Process holder) {
    try {
      holder.getInputStream().transferTo(OutputStream.nullOutputStream());
    } catch (IOException ended) {
      // It was closed.
    }
  }

  /** The machine's control groups of version 2, as systemd needs them. */
  private static Path groups() throws IOException {
    List<String> mounts = Files.readAllLines(Path.of("/proc/mounts"), StandardCharsets.UTF_8);
    List<Path> found =
        mounts.stream()
            .map(line -> line.split(" ", -1))
            .filter(words -> words[2].equals("cgroup2") && words[3].startsWith("rw"))
            .map(words -> Path.of(words[1]))
            .toList();
    Assumptions.assumeFalse(found.isEmpty(), "skipped: no control groups of version 2");
    return found.get(0);
  }

  private boolean isUp() throws IOException, InterruptedException {
    return root.run("sh", "-c", "systemctl is-system-running 2>&1 || true")
        .matches("(running|degraded)\n");
  }

  /** The root, to run commands inside. */
  CleanRoot root() {
    return root;
  }

  @Override
  public void close() throws IOException {
    root.close();
    await().atMost(LIMIT).until(this::isGone);
  }

  /** A group can be removed when its last process has gone. */
  private boolean isGone() throws IOException {
    if (Files.notExists(group)) {
      return true;
    }
    List<Path> folders;
    try (Stream<Path> all = Files.walk(group)) {
      folders = all.filter(Files::isDirectory).sorted((a, b) -> b.compareTo(a)).toList();
    } catch (UncheckedIOException changing) {
      return false;
    }
    for (Path folder : folders) {
      try {
        // The files in it are the kernel's and go with it.
        Files.delete(folder);
      } catch (FileSystemException busy) {
        return false;
      }
    }
    return true;
  }
}
