package org.borewarden.agent.service;

import com.sun.jna.Native;
import com.sun.jna.Pointer;
import java.lang.reflect.Proxy;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * SIGHUP, which asks a daemon to read its settings again. The virtual machine hands it over on a
 * thread of its own ({@code sun.misc.Signal}), so that any work may be done there; a handler of the
 * C library might do next to nothing. But it takes no handler for a signal that its process
 * ignores, and the library of the serial ports lets it be ignored: then it is set back to its
 * default first, which only the C library can do.
 *
 * <p>{@code sun.misc.Signal} is in the module {@code jdk.unsupported} of every JDK from 9 on. It is
 * called by reflection, the only one of our own, because the compiler warns of a direct call in a
 * way that cannot be answered.
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

  /**
   * From now on SIGHUP does this instead of ending the process. Windows has no such signal.
   *
   * @param work done on a thread of the virtual machine
   */
  public static void does(Runnable work) {
    try {
      listen(work);
    } catch (ReflectiveOperationException none) {
      // The file itself is looked at anyway.
      LOG.info("SIGHUP is not listened to: {}", none.toString());
    }
  }

  private static void listen(Runnable work) throws ReflectiveOperationException {
    Class<?> signal = Class.forName("sun.misc.Signal");
    Class<?> handler = Class.forName("sun.misc.SignalHandler");
    Object ours =
        Proxy.newProxyInstance(
            HangupSignal.class.getClassLoader(),
            new Class<?>[] {handler},
            (proxy, method, words) -> {
              work.run();
              return null;
            });
    signal
        .getMethod("handle", signal, handler)
        .invoke(null, signal.getConstructor(String.class).newInstance("HUP"), ours);
  }
}
