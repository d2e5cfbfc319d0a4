package org.borewarden.demo.controller;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** A watchdog under test: the shipped text, a changed copy of it, or the Java port. */
interface Program {
  /** The shipped file, from the module's folder. */
  Path SHIPPED = Path.of("..", "..", "deploy", "cell", "borewarden_watchdog.st");

  void scan(int[] a, int scanMs, boolean atStart, boolean atSafePoint, boolean localStart);

  boolean permit();

  /** All outputs as one text, so that two programs can be compared. */
  String outputs();

  static String shippedText() {
    try {
      return Files.readString(SHIPPED);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static Program shipped() {
    return of(shippedText());
  }

  /** The shipped text with one thing changed; the thing must be there. */
  static Program shippedWithout(String... changes) {
    String text = shippedText();
    for (int i = 0; i < changes.length; i += 2) {
      if (!text.contains(changes[i])) {
        throw new IllegalArgumentException("not in the shipped program: " + changes[i]);
      }
      text = text.replace(changes[i], changes[i + 1]);
    }
    return of(text);
  }

  static Program of(String text) {
    return new Interpreted(StParser.parse(text).start());
  }

  static Program port() {
    return new Port(new Watchdog());
  }

  /** The text, interpreted. */
  record Interpreted(StProgram.Run run) implements Program {
    @Override
    public void scan(int[] a, int scanMs, boolean atStart, boolean atSafe, boolean localStart) {
      run.set("Version", a[0]);
      run.set("Beat", a[1]);
      run.set("PermitWord", a[2]);
      run.set("Check", a[3]);
      run.set("BootId", a[4]);
      run.set("HoldNumber", a[5]);
      run.set("BeatCopy", a[19]);
      run.set("ScanMs", scanMs);
      run.set("AtStart", atStart ? 1 : 0);
      run.set("AtSafePoint", atSafe ? 1 : 0);
      run.set("LocalStart", localStart ? 1 : 0);
      run.scan();
    }

    @Override
    public boolean permit() {
      return run.get("Permit") != 0;
    }

    private boolean on(String name) {
      return run.get(name) != 0;
    }

    @Override
    public String outputs() {
      return text(
          permit(),
          on("SafePointAsked"),
          on("StoppedAtStart"),
          on("StoppedAtSafe"),
          on("MayStart"),
          on("MayGoOn"),
          on("Heard"),
          run.get("Echo"),
          run.get("HeardNumber"),
          run.get("HeardKind"),
          run.get("Testing"));
    }
  }

  /** The port. */
  record Port(Watchdog watchdog) implements Program {
    @Override
    public void scan(int[] a, int scanMs, boolean atStart, boolean atSafe, boolean localStart) {
      watchdog.scan(a, scanMs, atStart, atSafe, localStart);
    }

    @Override
    public boolean permit() {
      return watchdog.permit();
    }

    @Override
    public String outputs() {
      return text(
          watchdog.permit(),
          watchdog.safePointAsked(),
          watchdog.stoppedAtStart(),
          watchdog.stoppedAtSafe(),
          watchdog.mayStart(),
          watchdog.mayGoOn(),
          watchdog.heard(),
          watchdog.echo(),
          watchdog.heardNumber(),
          watchdog.heardKind(),
          watchdog.testing() ? 1 : 0);
    }
  }

  private static String text(Object... outputs) {
    return java.util.Arrays.toString(outputs);
  }
}
