package org.borewarden.demo.story;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import org.eclipse.paho.mqttv5.common.MqttException;

/** The program behind {@code demo/run}. */
public final class Demo {
  private Demo() {}

  /**
   * Plays the story; exits 0 only if the permit was seen to go and to come back, at the controller
   * and over MQTT.
   *
   * @param args {@code DISTRIBUTION BROKER_LIB CONF WORK [--fast]}: the agent's folder, the
   *     broker's jars, the demo's config files and an empty folder to work in
   * @throws InterruptedException when it is asked to stop
   */
  public static void main(String[] args) throws InterruptedException {
    boolean fast = args.length > 4 && args[4].equals("--fast");
    Places places =
        new Places(Path.of(args[0]), Path.of(args[1]), Path.of(args[2]), Path.of(args[3]));
    Pace pace =
        fast ? new Pace(Duration.ofMillis(480), 1.25) : new Pace(Duration.ofMillis(900), 0.8);
    Account account = new Account(console());
    try (Story story = new Story(places, pace, account)) {
      story.play();
      account.line("");
      account.line("The permit went and came back, at the controller and over MQTT.");
    } catch (StoryException | IOException | MqttException e) {
      account.line("");
      account.line("The demo did not see what it must see: " + e.getMessage());
      account.line("Logs: " + places.work());
      System.exit(1);
    }
    System.exit(0);
  }

  private static java.io.PrintStream console() {
    return new java.io.PrintStream(
        new java.io.FileOutputStream(java.io.FileDescriptor.out),
        true,
        java.nio.charset.StandardCharsets.UTF_8);
  }

  /**
   * Where things are.
   *
   * @param agent the agent's distribution
   * @param brokerLib the broker's jars
   * @param conf the config files
   * @param work an empty folder
   */
  record Places(Path agent, Path brokerLib, Path conf, Path work) {}

  /**
   * How fast the story goes.
   *
   * @param cut how long a part takes
   * @param wearMicrometres how much smaller each bore is than the one before
   */
  record Pace(Duration cut, double wearMicrometres) {}
}
