package org.borewarden.demo.story;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.TimeUnit;

/** A process that the demo starts and ends. */
public final class Child implements AutoCloseable {
  private static final long END_SECONDS = 8;

  private final Process process;

  private Child(Process process) {
    this.process = process;
  }

  /**
   * Starts a process.
   *
   * @param command the program and its arguments
   * @param folder its working folder
   * @param log takes all that it prints
   * @return the running process
   * @throws IOException when it cannot be started
   */
  public static Child start(List<String> command, Path folder, Path log) throws IOException {
    return new Child(
        new ProcessBuilder(command)
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(log.toFile())
            .start());
  }

  /**
   * Whether it runs.
   *
   * @return false once it has ended
   */
  public boolean alive() {
    return process.isAlive();
  }

  /**
   * Its process id.
   *
   * @return the id
   */
  public long pid() {
    return process.pid();
  }

  @Override
  public void close() {
    process.destroy();
    try {
      if (!process.waitFor(END_SECONDS, TimeUnit.SECONDS)) {
        process.destroyForcibly();
      }
    } catch (InterruptedException e) {
      process.destroyForcibly();
      Thread.currentThread().interrupt();
    }
  }
}
