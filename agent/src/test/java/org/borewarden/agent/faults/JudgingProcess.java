package org.borewarden.agent.faults;

import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.borewarden.agent.faults.JudgingLife.Day;
import org.borewarden.agent.faults.JudgingLife.Mode;

/**
 * A process to be killed, in which one or more {@link JudgingLife lives} go on side by side, each
 * with a journal of its own: one kill strikes each of them at another place of its work. It says
 * their lines with the number of the life before them.
 */
final class JudgingProcess {
  private static final int WORDS_OF_A_DAY = 4;

  private JudgingProcess() {}

  public static void main(String[] arguments) throws InterruptedException {
    PrintStream out = new PrintStream(System.out, true, StandardCharsets.UTF_8);
    List<Thread> lives = new ArrayList<>();
    List<Day> days = days(arguments);
    for (int number = 0; number < days.size(); number++) {
      String name = number + " ";
      JudgingLife life = new JudgingLife(days.get(number), line -> out.println(name + line));
      Thread thread = new Thread(() -> run(life), "life-" + number);
      lives.add(thread);
      thread.start();
    }
    for (Thread life : lives) {
      life.join();
    }
  }

  private static void run(JudgingLife life) {
    try {
      life.run();
    } catch (Exception ended) {
      throw new IllegalStateException(ended);
    }
  }

  /** As {@link #days(String[])} reads them. */
  static List<String> words(List<Day> days) {
    List<String> words = new ArrayList<>();
    for (Day day : days) {
      words.addAll(
          List.of(
              day.mode().name(),
              Long.toString(day.seed()),
              day.data().toString(),
              Integer.toString(day.most())));
    }
    return words;
  }

  private static List<Day> days(String[] words) {
    List<Day> days = new ArrayList<>();
    for (int at = 0; at < words.length; at += WORDS_OF_A_DAY) {
      days.add(
          new Day(
              Mode.valueOf(words[at]),
              Long.parseLong(words[at + 1]),
              Path.of(words[at + 2]),
              Integer.parseInt(words[at + 3])));
    }
    return days;
  }
}
