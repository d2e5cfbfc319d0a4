package org.borewarden.demo.story;

import java.io.PrintStream;
import java.util.Locale;

/** Prints what happens, one line each, with the seconds since the start. Thread-safe. */
final class Account {
  private final PrintStream out;
  private final long start = System.nanoTime();

  Account(PrintStream out) {
    this.out = out;
  }

  /** One line: who, and what. */
  synchronized void say(String who, String what) {
    double seconds = (System.nanoTime() - start) / 1e9;
    out.printf(Locale.ROOT, "%6.1f s  %-10s %s%n", seconds, who, what);
    out.flush();
  }

  /** A line of its own. */
  synchronized void line(String text) {
    out.println(text);
    out.flush();
  }
}
