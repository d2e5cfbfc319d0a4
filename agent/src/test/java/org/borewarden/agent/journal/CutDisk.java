package org.borewarden.agent.journal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * A file system in a file that can be cut off in the midst of writing, as a power failure would:
 * what was not synced is gone. It is ext4, or XFS with {@code -Dborewarden.filesystem=xfs}, shut
 * down without flushing its log.
 */
final class CutDisk {
  static final String KIND = System.getProperty("borewarden.filesystem", "ext4");

  /** XFS takes no less than 300 MB. */
  private static final String SIZE = KIND.equals("xfs") ? "320M" : "128M";

  private final Path folder;
  private final String device;
  private final Process system;
  private final Writer commands;
  private final BufferedReader answers;

  CutDisk(Path scratch) throws Exception {
    folder = Files.createDirectory(scratch.resolve("disk"));
    Path image = scratch.resolve("disk.img");
    Path found = scratch.resolve("device.txt");
    Machine.need("making a file", "truncate", "-s", SIZE, image.toString());
    Machine.need(
        "making a file system",
        "mkfs." + KIND,
        "-q",
        KIND.equals("xfs") ? "-f" : "-F",
        image.toString());
    Machine.need(
        "a file as a device",
        "sh",
        "-c",
        "losetup --find --show '" + image + "' > '" + found + "'");
    device = Files.readString(found, StandardCharsets.UTF_8).strip();
    Path script = Path.of(CutDisk.class.getResource("/power-cut.pl").toURI());
    system =
        new ProcessBuilder("perl", script.toString(), device, folder.toString(), KIND)
            .redirectError(scratch.resolve("power-cut.log").toFile())
            .start();
    commands = new OutputStreamWriter(system.getOutputStream(), StandardCharsets.UTF_8);
    answers =
        new BufferedReader(new InputStreamReader(system.getInputStream(), StandardCharsets.UTF_8));
    assertThat(ask("mount")).isEqualTo("ok");
  }

  Path folder() {
    return folder;
  }

  /** Stops all of a writer's threads where they are. */
  void freeze(Child child) throws IOException, InterruptedException {
    assertThat(ask("stop " + child.pid())).isEqualTo("ok");
    child.awaitStopped();
  }

  void thaw(Child child) throws IOException {
    assertThat(ask("go " + child.pid())).isEqualTo("ok");
  }

  void cut() throws IOException {
    assertThat(ask("cut")).isEqualTo("ok");
  }

  /**
   * Gives it power again.
   *
   * @return false when somebody holds a file of it open, so that nothing was done
   */
  boolean mountAgain() throws IOException {
    String answer = ask("unmount");
    if (answer.equals("unmount: Device or resource busy")) {
      return false;
    }
    assertThat(answer).isEqualTo("ok");
    assertThat(ask("mount")).isEqualTo("ok");
    return true;
  }

  /** Takes it down. */
  void remove() throws IOException, InterruptedException {
    ask("unmount");
    commands.close();
    system.waitFor();
    Machine.run("losetup", "--detach", device);
  }

  private String ask(String what) throws IOException {
    commands.write(what + "\n");
    commands.flush();
    return String.valueOf(answers.readLine());
  }
}
