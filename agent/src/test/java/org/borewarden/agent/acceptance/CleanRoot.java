package org.borewarden.agent.acceptance;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.borewarden.agent.peers.Peers;
import org.junit.jupiter.api.Assumptions;

/**
 * A root file system of its own for a package: this machine's, under a layer in memory that takes
 * every change. It lives in a mount name space of its own and goes with the process that holds it.
 */
final class CleanRoot implements AutoCloseable {
  /** Makes the layered root in the folder "$1"; how the mounts of a new name space begin. */
  static final String LAYERS =
      "mount -t tmpfs tmpfs \"$1\" && mkdir \"$1/upper\" \"$1/work\" \"$1/root\" "
          + "&& mount -t overlay overlay -o \"lowerdir=/,upperdir=$1/upper,workdir=$1/work\" \"$1/root\" "
          + "&& mount -t tmpfs tmpfs \"$1/root/run\" && mount -t proc proc \"$1/root/proc\" ";

  private static final String BUILD =
      LAYERS + "&& mount --rbind /dev \"$1/root/dev\" && echo built && exec sleep 100000";

  private final Process holder;
  private final List<String> enter;

  /**
   * A root that stands.
   *
   * @param holder the process with which it goes
   * @param enter what stands before a command so that it is run inside
   */
  CleanRoot(Process holder, List<String> enter) {
    this.holder = holder;
    this.enter = enter;
  }

  /** Builds one; where this machine does not let us, the test is skipped. */
  static CleanRoot build(Path folder) throws IOException {
    Peers.require("unshare", "nsenter", "chroot", "dpkg", "setpriv");
    Process holder =
        holder("unshare", "--mount", "--propagation", "private", "sh", "-c", BUILD, "sh", folder);
    String pid = Long.toString(holder.pid());
    String root = folder.resolve("root").toString();
    return new CleanRoot(holder, List.of("nsenter", "--mount", "--target", pid, "chroot", root));
  }

  /**
   * Starts what builds a root and says "built"; where it says something else, the test is skipped.
   */
  static Process holder(Object... command) throws IOException {
    Process holder =
        new ProcessBuilder(Stream.of(command).map(Object::toString).toList())
            .redirectErrorStream(true)
            .start();
    BufferedReader out = holder.inputReader(StandardCharsets.UTF_8);
    String first = String.valueOf(out.readLine());
    Assumptions.assumeTrue(
        first.equals("built"), "skipped: no layered root here, it takes root: " + first);
    return holder;
  }

  /** What is to be run, so that it runs inside. */
  List<String> inside(String... command) {
    List<String> all = new ArrayList<>(enter);
    all.addAll(List.of(command));
    return all;
  }

  /** Runs a command inside and gives what it said; it must end well. */
  String run(String... command) throws IOException, InterruptedException {
    Path said = Files.createTempFile("inside", ".txt");
    Process process =
        new ProcessBuilder(inside(command))
            .redirectErrorStream(true)
            .redirectOutput(said.toFile())
            .start();
    int exit = process.waitFor();
    String text = Files.readString(said, StandardCharsets.UTF_8);
    Files.delete(said);
    if (exit != 0) {
      throw new AssertionError(List.of(command) + " ended with " + exit + ": " + text);
    }
    return text;
  }

  /** Whether there is such a file inside. */
  boolean has(String path) throws IOException, InterruptedException {
    return run("sh", "-c", "[ -e \"$1\" ] && echo yes || echo no", "sh", path).startsWith("yes");
  }

  /** Writes a file inside, as its owner and mode are. */
  void write(String path, String text) throws IOException, InterruptedException {
    run("sh", "-c", "printf %s \"$2\" > \"$1\"", "sh", path, text);
  }

  /** Puts a file of ours inside. */
  void copyIn(Path file, String path) throws IOException, InterruptedException {
    Process process =
        new ProcessBuilder(inside("sh", "-c", "cat > \"$1\"", "sh", path))
            .redirectInput(file.toFile())
            .start();
    if (process.waitFor() != 0) {
      throw new IOException("cannot copy " + file + " to " + path);
    }
  }

  /** Packs a folder inside into a file of ours. */
  void copyOut(String path, Path file) throws IOException, InterruptedException {
    Process process =
        new ProcessBuilder(inside("tar", "-cf", "-", "-C", "/", path.substring(1)))
            .redirectOutput(file.toFile())
            .start();
    if (process.waitFor() != 0) {
      throw new IOException("cannot copy " + path + " to " + file);
    }
  }

  @Override
  public void close() {
    holder.destroyForcibly().onExit().join();
  }
}
