package org.borewarden.rules.engine;

import java.util.Optional;

/**
 * What a release says of the hold that it ends; counted when the hold is gone.
 *
 * @param needed whether the hold was needed: yes, no or unknown
 * @param contain what became of the parts to hold back, where it was said
 * @param reason the release's reason
 */
record ReleaseSaid(String needed, Optional<String> contain, String reason) {
  static ReleaseSaid of(Order.Release release) {
    return new ReleaseSaid(release.needed(), release.contain(), release.reason());
  }
}
