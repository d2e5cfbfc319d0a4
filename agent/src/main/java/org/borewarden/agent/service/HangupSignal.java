package org.borewarden.agent.service;

import com.sun.jna.Native;
import com.sun.jna.Pointer;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * SIGHUP, which asks a daemon to read its settings again. A virtual machine takes no handler for a
 * signal that its process ignores, and the library of the serial ports lets it be ignored.
 */
public final class HangupSignal {
  private static final Logger LOG = LoggerFactory.getLogger(HangupSignal.class);
  private static final int SIGHUP = 1;

  /** SIG_DFL, the null pointer. */
  private static final @Nullable Pointer DEFAULT = null;

  private HangupSignal() {}

  private static final class LibC {
    static {
      Native.register(LibC.class, "c");
    }

    private LibC() {}

    static native @Nullable Pointer signal(int number, @Nullable Pointer handler);
  }

  /** No longer ignores it. Where there is no such signal, nothing happens. */
  public static void backToDefault() {
    if (System.getProperty("os.name", "").startsWith("Windows")) {
      return;
    }
    try {
      LibC.signal(SIGHUP, DEFAULT);
    } catch (LinkageError none) {
      // The rules file itself is looked at anyway.
      LOG.info("SIGHUP stays ignored: {}", none.toString());
    }
  }
}
