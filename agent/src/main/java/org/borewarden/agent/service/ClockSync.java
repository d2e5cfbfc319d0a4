package org.borewarden.agent.service;

import com.sun.jna.LastErrorException;
import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.Platform;
import com.sun.jna.Pointer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;

/**
 * Whether the wall clock is synchronised, as the operating system says. Any thread.
 *
 * <p>First the mark of systemd-timesyncd, which needs no right (systemd-timesyncd.service(8):
 * {@code /run/systemd/timesync/synchronized} is touched when the clock was set); where that service
 * does not run, the kernel, which any client for NTP or PTP tells (adjtimex(2): {@code TIME_ERROR}
 * while the clock is not synchronised). A unit with {@code ProtectClock=yes} may not ask the
 * kernel; then nothing is known.
 */
public final class ClockSync {
  /** Where systemd-timesyncd leaves its marks. */
  public static final Path MARKS = Path.of("/run/systemd/timesync");

  /** What the kernel answers for a clock that is not synchronised (adjtimex(2)). */
  private static final int TIME_ERROR = 5;

  /**
   * Larger than the kernel's structure on every machine; a first word of 0 asks and sets nothing.
   */
  private static final int ROOM = 512;

  private ClockSync() {}

  /** The one call of the C library. */
  private static final class LibC {
    static {
      Native.register(LibC.class, "c");
    }

    private LibC() {}

    static native int adjtimex(Pointer asked) throws LastErrorException;
  }

  /**
   * Asks.
   *
   * @param marks where systemd-timesyncd leaves its marks
   * @return whether the clock is synchronised; empty where that cannot be told
   */
  public static Optional<Boolean> now(Path marks) {
    if (Files.isDirectory(marks)) {
      return Optional.of(Files.exists(marks.resolve("synchronized")));
    }
    if (!Platform.isLinux()) {
      return Optional.empty();
    }
    try (Memory asked = new Memory(ROOM)) {
      asked.clear();
      return Optional.of(LibC.adjtimex(asked) != TIME_ERROR);
    } catch (LastErrorException | LinkageError notAllowed) {
      return Optional.empty();
    }
  }
}
