package org.borewarden.demo.broker;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.CountDownLatch;
import java.util.logging.Level;
import java.util.logging.Logger;
import org.apache.activemq.artemis.core.config.Configuration;
import org.apache.activemq.artemis.core.config.impl.ConfigurationImpl;
import org.apache.activemq.artemis.core.server.embedded.EmbeddedActiveMQ;
import org.apache.activemq.artemis.core.settings.impl.AddressSettings;

/**
 * Runs an MQTT broker on loopback, for MQTT 5 and 3.1.1, without persistence and without access
 * rights. Never for production: whoever runs on this machine may publish anything on it.
 *
 * <p>Prints one line, {@code broker listening on 127.0.0.1:PORT}, and stops when its standard input
 * ends or it is asked to terminate.
 */
public final class Broker {
  private static final String LOOPBACK = "127.0.0.1";
  private static final int USAGE = 2;

  // Kept, because the logging of the JDK forgets a level whose logger nobody holds.
  private static final Logger ROOT = Logger.getLogger("");

  private Broker() {}

  /**
   * Runs until standard input ends.
   *
   * @param arguments {@code --port N}, 0 or none for any free port
   * @throws Exception when the broker cannot be started
   */
  public static void main(String[] arguments) throws Exception {
    ROOT.setLevel(Level.SEVERE);
    // The logging facade of a library has no back end here, and need not say so.
    System.setProperty("slf4j.internal.verbosity", "ERROR");
    PrintStream out =
        new PrintStream(new FileOutputStream(FileDescriptor.out), true, StandardCharsets.UTF_8);
    int port;
    try {
      port = port(arguments);
    } catch (IllegalArgumentException usage) {
      out.println(usage.getMessage());
      System.exit(USAGE);
      return;
    }
    EmbeddedActiveMQ server = new EmbeddedActiveMQ();
    server.setConfiguration(configuration(port));
    server.start();
    CountDownLatch stop = new CountDownLatch(1);
    Thread hook = new Thread(() -> stop(server), "stop");
    Runtime.getRuntime().addShutdownHook(hook);
    Thread input = new Thread(() -> awaitEndOfInput(stop), "input");
    input.setDaemon(true);
    input.start();
    out.println("broker listening on " + LOOPBACK + ":" + port);
    stop.await();
    System.exit(0);
  }

  /** The port to listen on; a free one where none is named. */
  static int port(String[] arguments) throws IOException {
    if (arguments.length == 0) {
      return freePort();
    }
    if (arguments.length != 2 || !arguments[0].equals("--port")) {
      throw new IllegalArgumentException("expected: --port N");
    }
    int port;
    try {
      port = Integer.parseInt(arguments[1]);
    } catch (NumberFormatException notNumber) {
      throw new IllegalArgumentException(
          "--port: expected a number, found '" + arguments[1] + "'", notNumber);
    }
    if (port < 0 || port > 65_535) {
      throw new IllegalArgumentException("--port: expected 0 to 65535, found " + port);
    }
    return port == 0 ? freePort() : port;
  }

  private static int freePort() throws IOException {
    try (ServerSocket probe = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      return probe.getLocalPort();
    }
  }

  private static Configuration configuration(int port) throws Exception {
    ConfigurationImpl configuration = new ConfigurationImpl();
    configuration.setPersistenceEnabled(false);
    configuration.setSecurityEnabled(false);
    configuration.setJMXManagementEnabled(false);
    configuration.addAcceptorConfiguration(
        "mqtt", "tcp://" + LOOPBACK + ":" + port + "?protocols=MQTT");
    configuration.addAddressSetting(
        "#", new AddressSettings().setAutoCreateAddresses(true).setAutoCreateQueues(true));
    return configuration;
  }

  private static void awaitEndOfInput(CountDownLatch stop) {
    try {
      // What is typed means nothing; only its end does.
      System.in.transferTo(OutputStream.nullOutputStream());
    } catch (IOException closed) {
      // The same as its end.
    }
    stop.countDown();
  }

  private static void stop(EmbeddedActiveMQ server) {
    try {
      server.stop();
    } catch (Exception atTheEnd) {
      Logger.getLogger(Broker.class.getName())
          .log(Level.SEVERE, "the broker did not stop cleanly", atTheEnd);
    }
  }
}
