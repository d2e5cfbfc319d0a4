package org.borewarden.demo.speed;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.borewarden.demo.story.StoryException;
import org.eclipse.paho.mqttv5.common.MqttException;

/** The program behind {@code demo/speed}. */
public final class Speed {
  private static final int FIXED = 3;

  private Speed() {}

  /**
   * Measures and prints a table; exits 0 if everything that was to be measured was seen.
   *
   * @param args {@code DISTRIBUTION BROKER_LIB WORK [options]}
   * @throws InterruptedException when it is asked to stop
   */
  public static void main(String[] args) throws InterruptedException {
    PrintStream out =
        new PrintStream(new FileOutputStream(FileDescriptor.out), true, StandardCharsets.UTF_8);
    List<String> words = Arrays.asList(args);
    Path work = Path.of(words.get(2));
    int exit = 0;
    try {
      Options options = Options.of(words.subList(FIXED, words.size()));
      try (Measurement measurement =
          new Measurement(Path.of(words.get(0)), Path.of(words.get(1)), work, options, out)) {
        measurement.run();
      }
    } catch (IllegalArgumentException usage) {
      out.println(usage.getMessage());
      exit = 2;
    } catch (StoryException | IOException | MqttException e) {
      out.println("not measured: " + e + "; logs: " + work);
      exit = 1;
    }
    System.exit(exit);
  }
}
