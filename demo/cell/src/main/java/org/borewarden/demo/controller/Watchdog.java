package org.borewarden.demo.controller;

/**
 * The shipped watchdog program, {@code deploy/cell/borewarden_watchdog.st}, statement for statement
 * in Java: same order, same names. A test compares the two texts, and another their behaviour.
 *
 * <p>Not a safety function. Owned by the scan thread; not thread-safe.
 */
public final class Watchdog {
  private static final int MAP_VERSION = 0x0101;
  private static final int CHECK_KEY = 0xA55A;
  private static final int BIT_PERMIT = 0x0001;
  private static final int BIT_LATCHED = 0x0004;
  private static final int BIT_TEST = 0x0400;
  private static final int BIT_SAFE = 0x0010;
  private static final int BEATS_NEEDED = 3;
  private static final int STEP_MOST = 8;
  private static final int BEAT_ROUND = 65535;
  private static final int TIME_OUT = 1000;
  private static final int WAIT_MOST = 2000;
  private static final int AGE_MOST = 60000;

  private boolean permit;
  private boolean safePointAsked;
  private boolean stoppedAtStart = true;
  private boolean stoppedAtSafe;
  private boolean mayStart;
  private boolean mayGoOn;
  private int echo;
  private boolean heard;
  private int heardNumber;
  private int heardKind;
  private boolean testing;

  private boolean valid;
  private int lastBoot;
  private int lastBeat;
  private int elapsed;
  private int step;
  private int credit;
  private int age = 60000;
  private int waited;
  private boolean startWas = true;
  private boolean startEdge;

  /** Makes a controller that was just switched on: stopped until a person starts it. */
  public Watchdog() {}

  /**
   * One scan.
   *
   * @param blockA the twenty registers of block A, taken at one instant
   * @param scanMs milliseconds since the last scan; less than 1 counts as 1
   * @param atStart whether the machine waits at its start point
   * @param atSafePoint whether the part program waits at a safe point
   * @param localStart whether the cycle start button is pressed
   */
  public void scan(
      int[] blockA, int scanMs, boolean atStart, boolean atSafePoint, boolean localStart) {
    int version = blockA[0];
    int beat = blockA[1];
    int permitWord = blockA[2];
    int check = blockA[3];
    int bootId = blockA[4];
    int holdNumber = blockA[5];
    int beatCopy = blockA[19];

    // program: from here on statement for statement
    valid = (version == MAP_VERSION) && (check == (permitWord ^ beat ^ CHECK_KEY));
    valid = valid && (beatCopy == beat) && (beat != 0x0000) && (bootId != 0x0000);

    testing = valid && ((permitWord & BIT_TEST) != 0x0000);

    elapsed = scanMs;
    if (elapsed < 1) {
      elapsed = 1;
    }
    if (age < AGE_MOST) {
      age = age + elapsed;
    }

    if (valid) {
      step = beat - lastBeat;
      if (step < 0) {
        step = step + BEAT_ROUND;
      }
      if (bootId != lastBoot) {
        credit = 0;
      } else if ((step >= 1) && (step <= STEP_MOST)) {
        age = 0;
        if (credit < BEATS_NEEDED) {
          credit = credit + 1;
        }
      } else if (step != 0) {
        credit = 0;
      }
      lastBoot = bootId;
      lastBeat = beat;
      echo = beat;
    }

    if (age > TIME_OUT) {
      credit = 0;
    }

    permit = valid && !testing && (credit >= BEATS_NEEDED) && ((permitWord & BIT_PERMIT) != 0x0000);

    if (permit) {
      safePointAsked = false;
    } else if (valid && !testing && ((permitWord & BIT_SAFE) != 0x0000)) {
      safePointAsked = true;
    }

    if (valid && !testing) {
      heard = (permitWord & BIT_LATCHED) != 0x0000;
      heardNumber = 0x0000;
      heardKind = 0x0000;
      if (heard) {
        heardNumber = holdNumber;
        heardKind = 0x0001;
        if (safePointAsked) {
          heardKind = 0x0002;
        }
      }
    }

    if (!permit && (atStart || (atSafePoint && safePointAsked))) {
      if (waited < AGE_MOST) {
        waited = waited + elapsed;
      }
    } else {
      waited = 0;
    }
    if (waited > WAIT_MOST) {
      if (atStart) {
        stoppedAtStart = true;
      } else {
        stoppedAtSafe = true;
      }
    }

    startEdge = localStart && !startWas;
    startWas = localStart;
    if (permit && startEdge) {
      stoppedAtStart = false;
      stoppedAtSafe = false;
    }

    mayStart = permit && !stoppedAtStart && !stoppedAtSafe;
    mayGoOn = !stoppedAtSafe && (permit || !safePointAsked);
    // program: ends
  }

  /**
   * Whether the last image was whole and of this version.
   *
   * @return true if it passed the check
   */
  public boolean valid() {
    return valid;
  }

  /**
   * Whether the agent permits, now.
   *
   * @return the permit as the last scan saw it
   */
  public boolean permit() {
    return permit;
  }

  /**
   * Whether a hold of the kind "next safe point" stands; latched until a permit is seen.
   *
   * @return true while it stands
   */
  public boolean safePointAsked() {
    return safePointAsked;
  }

  /**
   * Whether the cell stopped at its start point for lack of permit, or was just switched on.
   *
   * @return true until a permit and a local start edge meet
   */
  public boolean stoppedAtStart() {
    return stoppedAtStart;
  }

  /**
   * Whether the cell stopped at a safe point for lack of permit.
   *
   * @return true until a permit and a local start edge meet
   */
  public boolean stoppedAtSafe() {
    return stoppedAtSafe;
  }

  /**
   * Whether the next part may begin; to be looked at at the start point only.
   *
   * @return true if it may
   */
  public boolean mayStart() {
    return mayStart;
  }

  /**
   * Whether the part may go on; to be looked at at a safe point only.
   *
   * @return true if it may
   */
  public boolean mayGoOn() {
    return mayGoOn;
  }

  /**
   * The last beat that passed the check.
   *
   * @return 1 to 65535; 0 none yet
   */
  public int echo() {
    return echo;
  }

  /**
   * Whether a latched hold was heard.
   *
   * @return true while the image shows one
   */
  public boolean heard() {
    return heard;
  }

  /**
   * The number of the hold that was heard.
   *
   * @return 0 none
   */
  public int heardNumber() {
    return heardNumber;
  }

  /**
   * The kind that was heard.
   *
   * @return 0 none, 1 end of part, 2 next safe point
   */
  public int heardKind() {
    return heardKind;
  }

  /**
   * Whether the agent walks its bits: the image says nothing else.
   *
   * @return true while a whole test image stands
   */
  public boolean testing() {
    return testing;
  }
}
