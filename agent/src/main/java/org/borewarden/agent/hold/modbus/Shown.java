package org.borewarden.agent.hold.modbus;

import org.borewarden.agent.hold.PermitImage;

/**
 * A beat as the loop gave it.
 *
 * @param beat 1 to 65535
 * @param image what to show
 * @param givenAt monotonic nanoseconds
 */
record Shown(int beat, PermitImage image, long givenAt) {
  boolean permits() {
    return image.hold().permitted();
  }
}
