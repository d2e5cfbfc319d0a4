package org.borewarden.agent.source.serial;

import org.borewarden.agent.source.LinkException;

/** Why a serial port does not open, by the error numbers of Linux; those of Windows are shown. */
enum OpenError {
  GONE("gone", "there is no such device"),
  BUSY("busy", "another program uses it"),
  PERMISSION(
      "permission",
      "not permitted; add the service user to the group that owns it, usually: usermod -aG dialout"
          + " USER, then restart the service"),
  OTHER("open-failed", "the driver refused");

  private final String key;
  private final String words;

  OpenError(String key, String words) {
    this.key = key;
    this.words = words;
  }

  static OpenError of(int errno) {
    return switch (errno) {
      case 2, 6, 19 -> GONE; // ENOENT, ENXIO, ENODEV
      case 11, 16 -> BUSY; // EAGAIN of the lock, EBUSY
      case 1, 13 -> PERMISSION; // EPERM, EACCES
      default -> OTHER;
    };
  }

  LinkException failure(String device) {
    return new LinkException(key, "cannot open " + device + ": " + words);
  }

  LinkException failure(String device, int errno) {
    return new LinkException(
        key, "cannot open " + device + ": " + words + " (error " + errno + ")");
  }
}
