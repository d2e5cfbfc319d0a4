package org.borewarden.agent;

import java.lang.reflect.Proxy;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What the agent does on a signal, beside stopping. The standard library has no way to say it;
 * {@code sun.misc.Signal} is in the module {@code jdk.unsupported} of every JDK from 9 on. It is
 * called by reflection, the only one of our own, because the compiler warns of a direct call in a
 * way that cannot be answered.
 */
final class Signals {
  private static final Logger LOG = LoggerFactory.getLogger(Signals.class);

  private Signals() {}

  /** From now on SIGHUP does this instead of ending the process. Windows has no such signal. */
  static void onHangup(Runnable work) {
    try {
      Class<?> signal = Class.forName("sun.misc.Signal");
      Class<?> handler = Class.forName("sun.misc.SignalHandler");
      Object ours =
          Proxy.newProxyInstance(
              Signals.class.getClassLoader(),
              new Class<?>[] {handler},
              (proxy, method, words) -> {
                work.run();
                return null;
              });
      signal
          .getMethod("handle", signal, handler)
          .invoke(null, signal.getConstructor(String.class).newInstance("HUP"), ours);
    } catch (ReflectiveOperationException none) {
      // The file itself is looked at anyway.
      LOG.info("SIGHUP is not listened to: {}", none.toString());
    }
  }
}
