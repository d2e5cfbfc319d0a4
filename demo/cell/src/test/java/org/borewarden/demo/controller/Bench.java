package org.borewarden.demo.controller;

import static org.assertj.core.api.Assertions.assertThat;

/** Runs the shipped text and the port side by side, scan by scan, and fails where they differ. */
final class Bench {
  static final int SCAN_MS = 10;

  final Watchdog port = new Watchdog();
  private final Program text = Program.shipped();
  private final Program ported = new Program.Port(port);
  private int[] registers = new int[20];
  private boolean atStart;
  private boolean atSafe;
  private boolean button;
  private int beat;

  Bench show(Image image) {
    registers = image.registers();
    beat = image.beat();
    return this;
  }

  Bench show(int... words) {
    registers = words.clone();
    return this;
  }

  Bench atStart(boolean value) {
    atStart = value;
    return this;
  }

  Bench atSafe(boolean value) {
    atSafe = value;
    return this;
  }

  Bench button(boolean value) {
    button = value;
    return this;
  }

  Bench scan() {
    return scan(SCAN_MS);
  }

  Bench scan(int milliseconds) {
    text.scan(registers, milliseconds, atStart, atSafe, button);
    ported.scan(registers, milliseconds, atStart, atSafe, button);
    assertThat(ported.outputs()).isEqualTo(text.outputs());
    return this;
  }

  /** Lets beats run each 250 ms for a time, with this word. */
  Bench run(int boot, int word, int milliseconds) {
    for (int t = 0; t < milliseconds; t += SCAN_MS) {
      if (t % 250 == 0) {
        show(new Image(boot, Image.after(beat), word, 7));
      }
      scan();
    }
    return this;
  }

  /** Presses and lets go. */
  Bench press() {
    return button(false).scan().button(true).scan().button(false).scan();
  }
}
